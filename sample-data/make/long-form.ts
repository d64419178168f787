/** Surveys in the long form: one row a reading, the survey's other columns on its first row only. */
import { READING_FIELDS, SURVEY_FIELDS } from '../../shared-lib/survey/fields.ts'
import type { Reading, Survey } from '../../shared-lib/survey/survey.ts'
import { type Cell, csvText } from './csv.ts'

type SurveyKey = Exclude<keyof typeof SURVEY_FIELDS, 'corrects'>
type ReadingKey = keyof typeof READING_FIELDS

const FIRST: readonly SurveyKey[] = ['surveyRef', 'electrodeId', 'siteId', 'testedAt', 'currentProbeM']
const READING = Object.keys(READING_FIELDS) as ReadingKey[]
/** No survey of this file corrects another. */
const REST = (Object.keys(SURVEY_FIELDS) as (keyof typeof SURVEY_FIELDS)[]).filter(
  (key): key is SurveyKey => key !== 'corrects' && !FIRST.includes(key as SurveyKey),
)

/** A site whose crew fills every row to the end; the others leave the columns empty after a survey's first row. */
const FILLS_EVERY_ROW = 'DEMO-KES'

function rowsOf(survey: Survey): Cell[][] {
  const fills = survey.electrodeId?.startsWith(FILLS_EVERY_ROW) ?? false
  const readings: (Reading | undefined)[] = survey.readings.length > 0 ? survey.readings : [undefined]
  return readings.map((reading, i) => {
    const shared = (key: SurveyKey) => (i === 0 || fills || key === 'surveyRef' ? survey[key] : undefined)
    return [...FIRST.map(shared), ...READING.map((key) => readingCell(reading, key)), ...REST.map(shared)]
  })
}

/** A sound reading leaves the condition empty, as most sheets do. */
function readingCell(reading: Reading | undefined, key: ReadingKey): Cell {
  return key === 'condition' && reading?.condition === 'ok' ? undefined : reading?.[key]
}

export function longText(surveys: readonly Survey[]): string {
  const headings = [
    ...FIRST.map((key) => SURVEY_FIELDS[key].column),
    ...READING.map((key) => READING_FIELDS[key].column),
    ...REST.map((key) => SURVEY_FIELDS[key].column),
  ]
  return csvText(headings, surveys.flatMap(rowsOf))
}
