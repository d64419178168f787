import { SURVEY_FIELDS, type SurveyKey } from '../../../../shared-lib/survey/fields.ts'
import { readNumber } from '../../../../shared-lib/survey/numbers.ts'
import type { Reading, Survey } from '../../../../shared-lib/survey/survey.ts'
import { offsetSecondsAt } from '../../../../shared-lib/survey/zones.ts'
import { isTestKind, type TestKindName, testKind } from './test-kinds.ts'

type LengthUnit = 'm' | 'ft'

/** One row of readings exactly as typed. */
export interface FormRow {
  distance: string
  depth: string
  ohm: string
  condition: string
}

/** The form as typed: nothing is understood yet, so nothing can get lost. */
export interface FormState {
  test: TestKindName
  unit: LengthUnit
  values: Partial<Record<SurveyKey, string>>
  rows: FormRow[]
  /** The two ticks: before opening, after closing. */
  before: boolean
  after: boolean
}

const EMPTY_ROW: FormRow = { distance: '', depth: '', ohm: '', condition: '' }
const MOST_ROWS = 200

export const SURVEY_KEYS = Object.keys(SURVEY_FIELDS) as SurveyKey[]

/** A form nobody has typed into. The reference is issued with it, so that a form sent twice is the same survey. */
export function blankForm(surveyRef: string, values: FormState['values'] = {}): FormState {
  return { test: 'short', unit: 'm', values: { surveyRef, ...values }, rows: [], before: false, after: false }
}

/** Reads what the browser sent, and which kind of test the form was showing then. */
export function formFromPost(data: FormData): { state: FormState; shown: TestKindName } {
  const text = (name: string): string => {
    const value = data.get(name)
    return typeof value === 'string' ? value : ''
  }
  const values: FormState['values'] = {}
  for (const key of SURVEY_KEYS) if (data.has(key)) values[key] = text(key)
  const rows: FormRow[] = []
  for (let i = 0; i < MOST_ROWS && data.has(`r${i}-ohm`); i++)
    rows.push({
      distance: text(`r${i}-distance`),
      depth: text(`r${i}-depth`),
      ohm: text(`r${i}-ohm`),
      condition: text(`r${i}-condition`),
    })
  const wanted = text('test')
  const shownText = text('shown')
  const test = isTestKind(wanted) ? wanted : 'short'
  const shown = isTestKind(shownText) ? shownText : test
  const unit = text('unit') === 'ft' ? 'ft' : 'm'
  return {
    state: { test, unit, values, rows, before: text('before') === 'yes', after: text('after') === 'yes' },
    shown,
  }
}

/** Distance of a `percent` row in the unit of the form, to 0.1 mm; null while the current probe's distance is not known. */
export function rowDistance(currentProbe: number | null, percent: number): number | null {
  return currentProbe === null ? null : Math.round(currentProbe * percent * 100) / 10_000
}

/** The current probe's distance as typed, in the unit of the form; null when it is not a number yet. */
export function typedCurrentProbe(state: FormState): number | null {
  const typed = state.values.currentProbeM?.trim() ?? ''
  if (typed === '') return null
  const cell = readNumber(typed, SURVEY_FIELDS.currentProbeM)
  return cell.kind === 'value' ? cell.value : null
}

/** The same form showing another kind of test: readings keep their place where the new rows have it. */
export function withTest(state: FormState, from: TestKindName): FormState {
  const before = testKind(from)
  const after = testKind(state.test)
  if (from === state.test || after.rows === 'none' || before.rows === 'none') return state
  const far = typedCurrentProbe(state)
  const typed = state.rows.map((row, i) => {
    const percent = before.positions?.[i]
    const computed = percent === undefined ? null : rowDistance(far, percent)
    return { row, percent, distance: computed === null ? row.distance : String(computed) }
  })
  const written = typed.filter(
    (t) => t.row.ohm.trim() !== '' || (t.row.condition !== '' && t.row.condition !== 'ok'),
  )
  if (after.positions === undefined)
    return { ...state, rows: written.map((t) => ({ ...t.row, distance: t.distance })) }
  return {
    ...state,
    rows: after.positions.map((percent) => {
      const here = typed.find(
        (t) => t.percent === percent || Number(t.distance) === rowDistance(far, percent),
      )
      return here === undefined ? EMPTY_ROW : { ...here.row, distance: '' }
    }),
  }
}

/** As many rows as the kind of test shows; a row that is typed into is never hidden, also where the kind takes one reading only. */
export function shownRows(state: FormState): FormRow[] {
  const kind = testKind(state.test)
  if (kind.rows === 'none') return []
  const used =
    state.rows.findLastIndex((row) => row.ohm.trim() !== '' || !['', 'ok'].includes(row.condition)) + 1
  const fewest = kind.rowCount ?? 1
  const count =
    kind.positions?.length ?? (fewest === 1 ? Math.max(1, used) : Math.max(fewest, state.rows.length + 2))
  return Array.from({ length: count }, (_, i) => state.rows[i] ?? EMPTY_ROW)
}

/** A stored survey as a form to correct: a new reference, the old one named. */
export function formFromSurvey(survey: Survey, surveyRef: string, timeZone: string): FormState {
  const values: FormState['values'] = {}
  for (const key of SURVEY_KEYS) {
    const value = survey[key]
    if (value === undefined) continue
    values[key] =
      SURVEY_FIELDS[key].type === 'instant' ? localMinute(Date.parse(String(value)), timeZone) : String(value)
  }
  return {
    test: kindOfStored(survey),
    unit: 'm',
    values: { ...values, surveyRef, corrects: survey.surveyRef },
    rows: survey.readings.map(rowOf),
    before: false,
    after: false,
  }
}

/** A moment as a date-and-time control holds it, in the local time of the zone: `2026-05-04T10:20`. */
export function localMinute(atMs: number, timeZone: string): string {
  const offsetS = offsetSecondsAt(timeZone, atMs) ?? 0
  return new Date(atMs + offsetS * 1000).toISOString().slice(0, 16)
}

function kindOfStored({ method, outcome }: Survey): TestKindName {
  if (outcome !== 'tested') return 'none'
  if (method === 'two-point' || method === 'four-point' || method === 'check-resistor') return method
  return method === 'clamp-loop' || method === 'known-earth' ? 'single' : 'own'
}

function rowOf(r: Reading): FormRow {
  const text = (value: number | undefined) => (value === undefined ? '' : String(value))
  return {
    distance: text(r.potentialProbeM ?? r.probeSpacingM),
    depth: text(r.probeDepthM),
    ohm: text(r.resistanceOhm ?? r.atLeastOhm),
    condition: r.condition,
  }
}
