import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { readSurveys, type SurveyEntry } from '../../shared-lib/survey/read-surveys.ts'
import { scanSurveyFile } from '../../shared-lib/survey/scan.ts'

export const SAMPLE = join(import.meta.dirname, '../../sample-data')
export const SURVEY_FILES = ['surveys-long.csv', 'surveys-wide.csv', 'surveys-semicolon.csv'] as const

/** Every entry of a survey file as the service's own reader gives it. */
export async function readBack(name: string): Promise<{ entries: SurveyEntry[]; unknownColumns: string[] }> {
  const bytes = readFileSync(join(SAMPLE, name))
  const open = async function* () {
    yield bytes
  }
  const scanned = await scanSurveyFile(open)
  if (!scanned.ok) return { entries: [scanned.refused], unknownColumns: [] }
  const entries: SurveyEntry[] = []
  for await (const entry of readSurveys(open, scanned.plan)) entries.push(entry)
  return { entries, unknownColumns: scanned.plan.unknownColumns }
}
