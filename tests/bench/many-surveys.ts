import { once } from 'node:events'
import { createWriteStream } from 'node:fs'
import { mkdtemp, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { makeFleet } from '../service/fleet.ts'

const TESTS_EACH = 20
const DISTANCES_M = [15.6, 18.6, 21.6]

export interface SurveyFiles {
  folder: string
  register: string
  surveys: string
  surveyCount: number
  rowCount: number
  remove(): Promise<void>
}

/**
 * Files of short surveys: electrodes tested 20 times each; `wide` one row a survey, `long` a row a reading (three rows a survey).
 * The numbers are the same every time.
 */
export async function makeSurveyFiles(surveyCount: number, form: 'long' | 'wide'): Promise<SurveyFiles> {
  const folder = await mkdtemp(join(tmpdir(), 'stakeline-bench-'))
  const register = join(folder, 'electrodes.csv')
  const surveys = join(folder, 'surveys.csv')
  const fleet = makeFleet(Math.ceil(surveyCount / TESTS_EACH), TESTS_EACH)
  await writeFile(register, fleet.registerCsv)
  const out = createWriteStream(surveys)
  const wide = form === 'wide'
  out.write(
    wide
      ? `${fleet.header}\n`
      : 'survey_ref,electrode_id,tested_at,current_probe_m,measured_as,potential_probe_m,resistance_ohm\n',
  )
  for (const row of fleet.rows.slice(0, surveyCount))
    if (!out.write(wide ? `${row}\n` : longRows(row))) await once(out, 'drain')
  out.end()
  await once(out, 'close')
  return {
    folder,
    register,
    surveys,
    surveyCount,
    rowCount: wide ? surveyCount : surveyCount * DISTANCES_M.length,
    remove: () => rm(folder, { recursive: true, force: true }),
  }
}

function longRows(row: string): string {
  const cells = row.split(',')
  const head = cells.slice(0, 5).join(',')
  return DISTANCES_M.map((distanceM, nth) => `${head},${distanceM},${cells[5 + nth]}\n`).join('')
}
