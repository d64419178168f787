import { csvLine } from './csv-line.ts'
import { READING_FIELDS, type ReadingKey, SURVEY_FIELDS, type SurveyKey } from './fields.ts'
import type { Reading, Survey } from './survey.ts'

/** Surveys out again, in the long form and with the columns they are handed in by. */

const SURVEY_KEYS = Object.keys(SURVEY_FIELDS) as SurveyKey[]
const READING_KEYS = Object.keys(READING_FIELDS) as ReadingKey[]

/** The heading row of an export, with its line end. Put `\ufeff` before it for spreadsheets that need a byte-order mark. */
export function surveyCsvHeader(): string {
  return csvLine([
    ...SURVEY_KEYS.map((key) => SURVEY_FIELDS[key].column),
    ...READING_KEYS.map((key) => READING_FIELDS[key].column),
  ])
}

/**
 * One survey as rows of the long form, one a reading, each with the survey's own columns so that sorting the file breaks nothing.
 * What is written reads back to an equal survey. Text that a spreadsheet would run as a formula is guarded; numbers stay numbers.
 */
export function surveyCsvRows(survey: Survey): string {
  const own = SURVEY_KEYS.map((key) => survey[key])
  const readings: Partial<Reading>[] = survey.readings.length > 0 ? survey.readings : [{}]
  return readings
    .map((reading) =>
      csvLine([
        ...own,
        ...READING_KEYS.map((key) =>
          key === 'condition' && reading.condition === 'ok' ? undefined : reading[key],
        ),
      ]),
    )
    .join('')
}
