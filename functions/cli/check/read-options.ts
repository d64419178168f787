import { readFile } from 'node:fs/promises'
import type { Parameters } from '../../../shared-lib/history/assessment.ts'
import { defaultParameters } from '../../../shared-lib/history/parameters.ts'
import { parseParameters } from '../../../shared-lib/history/parse-parameters.ts'
import { type ColumnMap, parseColumnMap } from '../../../shared-lib/survey/column-map.ts'
import { isDatePattern, PATTERN_HELP } from '../../../shared-lib/survey/date-pattern.ts'
import { CannotRun } from '../exit-status.ts'
import type { InputFile } from '../files/input-file.ts'

type Open = (name: string) => Promise<InputFile>

/** How the survey files are to be read, as a person declares it. */
export interface SurveyOptions {
  decimalSign?: '.' | ','
  datePattern?: string
  /** File with the column map. */
  columnMap?: string
}

/** The same with the map read. */
export interface DeclaredReading {
  decimalSign?: '.' | ','
  datePattern?: string
  columnMap?: ColumnMap
}

async function readJson(name: string, open: Open): Promise<unknown> {
  const input = await open(name)
  const text = await readFile(input.path, 'utf8')
  try {
    return JSON.parse(text.replace(/^\ufeff/, ''))
  } catch (error) {
    throw new CannotRun(`${input.name} is not JSON: ${(error as Error).message}.`)
  }
}

/** Throws {@link CannotRun} when the pattern or the map cannot be used. */
export async function readSurveyOptions(options: SurveyOptions, open: Open): Promise<DeclaredReading> {
  const { decimalSign, datePattern, columnMap } = options
  if (datePattern !== undefined && !isDatePattern(datePattern))
    throw new CannotRun(`${datePattern} is not a date pattern; use ${PATTERN_HELP}.`)
  const declared: DeclaredReading = {
    ...(decimalSign === undefined ? {} : { decimalSign }),
    ...(datePattern === undefined ? {} : { datePattern }),
  }
  if (columnMap === undefined) return declared
  const read = parseColumnMap(await readJson(columnMap, open))
  if (!read.ok) throw new CannotRun(`The column map ${columnMap} cannot be used: ${read.reason}.`)
  return { ...declared, columnMap: read.map }
}

/** An operator's learnt parameters, or the defaults. Throws {@link CannotRun} when the file is not one. */
export async function readParameters(name: string | undefined, open: Open): Promise<Parameters> {
  if (name === undefined) return defaultParameters
  const read = parseParameters(await readJson(name, open))
  if (read.ok) return read.parameters
  throw new CannotRun(`The parameters ${name} cannot be used: ${read.reason}.`)
}
