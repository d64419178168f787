import * as z from 'zod'
import type { Ledger } from '../../../shared-lib/ledger/ledger.ts'
import { type ColumnMap, parseColumnMap } from '../../../shared-lib/survey/column-map.ts'
import { isDatePattern, PATTERN_HELP } from '../../../shared-lib/survey/date-pattern.ts'

/** What an upload may declare about its file, by query or by form field. An empty field declares nothing. */
const SIGN = '"." or ","; else the file settles it.'
const PATTERN = `Pattern of dates that are not ISO 8601: ${PATTERN_HELP}.`
const MAP = 'Name of a saved column map, or one as JSON.'
const given = z.string().max(200_000).optional()
export const uploadOptions = {
  decimalSign: given.describe(SIGN),
  datePattern: given.describe(PATTERN),
  columnMap: given.describe(MAP),
}
/** The same in an address, which with all headers has some 16 kB. */
export const uploadOptionsInAddress = {
  decimalSign: z.string().max(10).optional().describe(SIGN),
  datePattern: z.string().max(100).optional().describe(PATTERN),
  columnMap: z
    .string()
    .max(4000, 'Save this column map with PUT /api/column-maps/{name} and give its name here.')
    .optional()
    .describe(MAP),
}
export type GivenOptions = { [K in keyof typeof uploadOptions]?: string | undefined }

/** Options as the readers take them, and as they are kept with the upload. */
export interface ReadingOptions {
  decimalSign?: '.' | ','
  datePattern?: string
  columnMap?: ColumnMap
}

export interface OptionTrouble {
  pointer: string
  code: string
  detail: string
}

async function mapOf(ledger: Ledger, text: string): Promise<{ map: ColumnMap } | { reason: string }> {
  let json: unknown
  if (text.startsWith('{')) {
    try {
      json = JSON.parse(text)
    } catch {
      return { reason: 'The column map is not JSON. Send one JSON object, or the name of a saved map.' }
    }
  } else {
    const saved = (await ledger.listColumnMaps()).find(({ name }) => name === text)
    if (!saved) return { reason: `No column map is saved under the name "${text.slice(0, 100)}".` }
    json = saved.map
  }
  const parsed = parseColumnMap(json)
  return parsed.ok ? { map: parsed.map } : { reason: `The column map cannot be used: ${parsed.reason}.` }
}

/** Checks what was declared. A saved map is put in whole: changing it later does not change what this upload means. */
export async function readOptions(
  ledger: Ledger,
  { decimalSign: sign = '', datePattern = '', columnMap = '' }: GivenOptions,
): Promise<{ options: ReadingOptions } | { troubles: OptionTrouble[] }> {
  const options: ReadingOptions = {}
  const troubles: OptionTrouble[] = []
  if (sign === '.' || sign === ',') options.decimalSign = sign
  else if (sign !== '')
    troubles.push({ pointer: '/decimalSign', code: 'unknown-word', detail: 'Give "." or ",".' })
  const pattern = datePattern.trim()
  if (pattern !== '') {
    if (isDatePattern(pattern)) options.datePattern = pattern
    else
      troubles.push({
        pointer: '/datePattern',
        code: 'bad-pattern',
        detail: `Write it with ${PATTERN_HELP}.`,
      })
  }
  if (columnMap.trim() !== '') {
    const found = await mapOf(ledger, columnMap.trim())
    if ('map' in found) options.columnMap = found.map
    else troubles.push({ pointer: '/columnMap', code: 'bad-column-map', detail: found.reason })
  }
  return troubles.length > 0 ? { troubles } : { options }
}
