import { checkSurvey, type SurveyProblem } from './check-survey.ts'
import { READING_FIELDS, SURVEY_FIELDS } from './fields.ts'
import type { FilePlan, PlannedColumn, ReadOptions } from './file-plan.ts'
import { expectationOf } from './problems.ts'
import { type Refused, shortValue } from './refused.ts'
import type { Survey } from './survey.ts'
import { checkRows, createDraft, type Draft, type SurveyRow } from './survey-draft.ts'
import { type PlacedReading, readReadings } from './survey-readings.ts'

export type Assembled = { ok: true; survey: Survey } | { ok: false; refused: Refused[] }

type Values = Record<string, string | number>

/** The value of one column of the survey, which its rows repeat or leave empty. */
function readShared(draft: Draft, column: PlannedColumn, timeZone?: string): string | number | undefined {
  let first: { cell: string; row: number; value: string | number } | undefined
  for (const row of draft.rows) {
    const cell = draft.cellOf(row, column)
    if (cell === '' || cell === first?.cell) continue
    const read = draft.read(row, column, timeZone)
    if (read?.kind !== 'value') continue
    if (!first) first = { cell, row: row.row, value: read.value }
    else if (read.value !== first.value)
      draft.refuse(row, column, 'rows-contradict', {
        detail: `${first.row} says “${shortValue(first.cell)}”`,
      })
  }
  return first?.value
}

function readItem(draft: Draft, options: ReadOptions): Values {
  const values: Values = {}
  const isTime = ({ field }: PlannedColumn) => field.type === 'instant'
  const take = (column: PlannedColumn, timeZone?: string) => {
    const value = readShared(draft, column, timeZone)
    if (value !== undefined) values[column.key] = value
  }
  for (const column of draft.items) if (!isTime(column)) take(column)
  // Times come last: the zone they are read in belongs to the electrode, or to the site where there is none.
  const { electrodeId, siteId } = values
  const zone =
    (electrodeId === undefined ? undefined : options.timeZoneOf?.(String(electrodeId))) ??
    (siteId === undefined ? undefined : options.timeZoneOfSite?.(String(siteId)))
  for (const column of draft.items) if (isTime(column)) take(column, zone)
  return values
}

/** Tells a problem of the finished survey at the cell it comes from. */
function refuseProblem(draft: Draft, placed: readonly PlacedReading[], problem: SurveyProblem): void {
  const { code, context, reading: at, key } = problem
  if (at) {
    const from = placed[at.index]!
    const column = from.column?.level === 'wide' ? from.column : draft.columnOf.get(at.key)
    const name = READING_FIELDS[at.key].column
    draft.refuse(from.row, column, code, { name: column?.heading ?? name, ...context }, name)
    return
  }
  const name = key ? SURVEY_FIELDS[key].column : undefined
  const column = key ? draft.columnOf.get(key) : undefined
  const row =
    draft.rows.find((candidate) => column && draft.cellOf(candidate, column) !== '') ?? draft.rows[0]!
  const named = column?.heading ?? name
  draft.refuse(row, column, code, named === undefined ? context : { name: named, ...context }, name)
}

/**
 * Makes one survey of its rows (one row in the wide form), or tells every cell that stands in the way. A bad cell refuses this survey
 * as a whole.
 */
export function assembleSurvey(
  surveyRef: string,
  rows: readonly SurveyRow[],
  plan: FilePlan,
  options: ReadOptions,
): Assembled {
  const draft = createDraft(surveyRef, rows, plan)
  checkRows(draft)
  const values = readItem(draft, options)
  const unread = (key: string) =>
    draft.refused.some((record) => record.column === draft.columnOf.get(key)?.heading)
  for (const key of ['surveyRef', 'testedAt'] as const) {
    if (values[key] !== undefined || unread(key)) continue
    const { column } = SURVEY_FIELDS[key]
    const expected = expectationOf(SURVEY_FIELDS[key])
    draft.refuse(rows[0]!, draft.columnOf.get(key), 'missing-value', { expected, name: column }, column)
  }
  const isTested = values.outcome === undefined || values.outcome === 'tested'
  const placed = readReadings(draft, values.currentProbeM, isTested)
  const survey = {
    method: 'fall-of-potential',
    outcome: 'tested',
    measuredAs: 'not-known',
    ...values,
    readings: placed.map(({ reading }) => reading),
  } as unknown as Survey
  if (surveyRef !== '' && !unread('method') && !unread('outcome'))
    for (const problem of checkSurvey(survey)) {
      // What was refused above explains why it is not there.
      if (problem.code === 'no-readings' && draft.refused.length > 0) continue
      refuseProblem(draft, placed, problem)
    }
  return draft.refused.length > 0 ? { ok: false, refused: draft.refused } : { ok: true, survey }
}
