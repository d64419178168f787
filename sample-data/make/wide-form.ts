/** Surveys in the wide form: one row a survey, readings in columns by the potential probe's place in % of the current probe's. */
import { SURVEY_FIELDS } from '../../shared-lib/survey/fields.ts'
import type { Reading, Survey } from '../../shared-lib/survey/survey.ts'
import { type Cell, type CsvStyle, csvText, PLAIN } from './csv.ts'
import { rounded } from './rounding.ts'

const PERCENT = [10, 20, 30, 40, 50, 52, 60, 62, 70, 72, 80, 90]
type SurveyKey = keyof typeof SURVEY_FIELDS

interface Column {
  heading: string
  cell: (survey: Survey) => Cell
}

/** `>2000` where the display ran over; the other conditions have no place in this form. */
function readingCell(reading: Reading | undefined): Cell {
  if (!reading) return undefined
  if (reading.condition === 'over-range') return reading.atLeastOhm ? `>${reading.atLeastOhm}` : 'OL'
  if (reading.condition !== 'ok') throw new Error(`the wide form cannot say ${reading.condition}`)
  return reading.resistanceOhm
}

function readingAt(survey: Survey, percent: number): Reading | undefined {
  const currentProbeM = survey.currentProbeM
  if (currentProbeM === undefined) return undefined
  return survey.readings.find(
    ({ potentialProbeM = 0 }) => Math.round((100 * potentialProbeM) / currentProbeM) === percent,
  )
}

const READINGS: readonly Column[] = PERCENT.map((percent) => ({
  heading: `r${percent}_ohm`,
  cell: (survey) => readingCell(readingAt(survey, percent)),
}))

const plain = (key: SurveyKey): Column => ({
  heading: SURVEY_FIELDS[key].column,
  cell: (survey) => survey[key],
})

const WORDS: readonly SurveyKey[] = (Object.keys(SURVEY_FIELDS) as SurveyKey[]).filter(
  (key) => key !== 'siteId' && key !== 'corrects',
)

/** Drops columns that no survey fills. */
function text(columns: readonly Column[], surveys: readonly Survey[], style: CsvStyle): string {
  const used = columns.filter((column) => surveys.some((survey) => column.cell(survey) !== undefined))
  return csvText(
    used.map(({ heading }) => heading),
    surveys.map((survey) => used.map(({ cell }) => cell(survey))),
    style,
  )
}

export function wideText(surveys: readonly Survey[]): string {
  return text([...WORDS.map(plain), ...READINGS], surveys, PLAIN)
}

const converted = (
  heading: string,
  key: 'currentProbeM' | 'probeHOhm' | 'probeSOhm' | 'soilTemperatureC' | 'airTemperatureC',
  to: (value: number) => number,
): Column => ({
  heading,
  cell: (survey) => (survey[key] === undefined ? undefined : to(survey[key])),
})

/** This crew's own spreadsheet: feet, kilohm and Fahrenheit, headings in capitals with spaces. */
const OWN: Partial<Record<SurveyKey, Column>> = {
  currentProbeM: converted('Current Probe ft', 'currentProbeM', (m) => Math.round(m / 0.3048)),
  probeHOhm: converted('Probe H kohm', 'probeHOhm', (ohm) => rounded(ohm / 1000, 2)),
  probeSOhm: converted('Probe S kohm', 'probeSOhm', (ohm) => rounded(ohm / 1000, 2)),
  soilTemperatureC: converted('Soil Temperature F', 'soilTemperatureC', (c) => rounded(c * 1.8 + 32, 1)),
  airTemperatureC: converted('Air Temperature F', 'airTemperatureC', (c) => rounded(c * 1.8 + 32, 1)),
}

const spaced = (heading: string) => heading.replaceAll('_', ' ').replace(/^./, (first) => first.toUpperCase())

/** Semicolons, decimal commas, other units. Every other survey with `OL` would read the same. */
export function semicolonText(surveys: readonly Survey[]): string {
  const columns = WORDS.map((key) => {
    const column = OWN[key] ?? plain(key)
    return { ...column, heading: spaced(column.heading) }
  })
  return text([...columns, ...READINGS], surveys, { separator: ';', decimal: ',' })
}
