import type { CellValue } from './cells.ts'
import { READING_FIELDS, SURVEY_FIELDS } from './fields.ts'
import type { PlannedColumn } from './file-plan.ts'
import { expectationOf } from './problems.ts'
import type { Reading } from './survey.ts'
import type { Draft, SurveyRow } from './survey-draft.ts'

/** A reading with the cell it comes from. */
export interface PlacedReading {
  reading: Reading
  row: SurveyRow
  column: PlannedColumn | undefined
}

/** Puts a cell that may be over range into a reading. */
function place(reading: Partial<Reading>, key: string, value: CellValue): void {
  if (value.kind === 'value') (reading as Record<string, unknown>)[key] = value.value
  else if (value.kind === 'over-range') {
    reading.condition ??= 'over-range'
    if (value.atLeast !== undefined) reading.atLeastOhm = value.atLeast
  }
}

/** The reading of one row in the long form; null where the row holds none. */
function readLong(draft: Draft, row: SurveyRow, columns: readonly PlannedColumn[]): PlacedReading | null {
  const reading: Partial<Reading> = {}
  let anything = false
  let resistance: CellValue | null = null
  for (const column of columns) {
    if (draft.cellOf(row, column) === '') continue
    if (column.key === 'resistanceOhm' || column.key === 'condition' || column.key === 'atLeastOhm')
      anything = true
    const value = draft.read(row, column)
    if (!value) continue
    if (column.key === 'resistanceOhm') resistance = value
    else place(reading, column.key, value)
  }
  const column = draft.columnOf.get('resistanceOhm')
  if (resistance?.kind === 'over-range' && reading.condition === 'ok') {
    draft.refuse(row, column, 'condition-contradicts', {
      detail: 'the condition says ok, the display is over range',
    })
    return null
  }
  if (resistance) place(reading, 'resistanceOhm', resistance)
  if (!anything)
    return Object.keys(reading).length > 0 ? { reading: { ...reading, condition: 'ok' }, row, column } : null
  const bounded = reading.resistanceOhm === undefined && reading.atLeastOhm !== undefined
  return {
    reading: { ...reading, condition: reading.condition ?? (bounded ? 'over-range' : 'ok') },
    row,
    column,
  }
}

/** The readings of one row in the wide form: a filled cell is a reading at that position. */
function readWide(
  draft: Draft,
  row: SurveyRow,
  columns: readonly PlannedColumn[],
  currentProbeM: unknown,
): PlacedReading[] {
  const placed: PlacedReading[] = []
  for (const column of columns) {
    if (draft.cellOf(row, column) === '') continue
    if (typeof currentProbeM !== 'number') {
      const current = draft.columnOf.get('currentProbeM')
      draft.refuse(
        row,
        current,
        'missing-value',
        { expected: expectationOf(SURVEY_FIELDS.currentProbeM) },
        'current_probe_m',
      )
      return placed
    }
    const value = draft.read(row, column)
    if (!value) continue
    const potentialProbeM = Number(((currentProbeM * column.percent!) / 100).toPrecision(9))
    const reading: Partial<Reading> = { potentialProbeM }
    place(reading, column.key, value)
    placed.push({ reading: { ...reading, condition: reading.condition ?? 'ok' }, row, column })
  }
  return placed
}

const positionOf = ({ reading }: PlacedReading) => reading.potentialProbeM ?? reading.probeSpacingM

/**
 * A survey that stands in the file twice, apart, is the same survey where it says the same: its repeated readings count once. Equal
 * readings that stand together were read so.
 */
function withoutRepeats(draft: Draft, placed: readonly PlacedReading[]): PlacedReading[] {
  if (draft.rows.at(-1)?.run === draft.rows[0]?.run) return [...placed]
  const kept: PlacedReading[] = []
  const keptAt = new Map<number | undefined, { row: SurveyRow; text: string }[]>()
  for (const next of placed) {
    const position = positionOf(next)
    const here = keptAt.get(position) ?? []
    keptAt.set(position, here)
    const text = JSON.stringify(next.reading)
    const earlier = here.filter(({ row }) => row.run !== next.row.run)
    if (earlier.some((other) => other.text === text)) continue
    here.push({ row: next.row, text })
    if (position !== undefined && earlier.length > 0) {
      const detail = `${earlier[0]!.row.row} has another reading at the same place`
      draft.refuse(next.row, next.column, 'rows-contradict', { detail }, 'resistance_ohm')
    }
    kept.push(next)
  }
  return kept
}

/**
 * The readings of a survey's rows, in the order of the file. In the long form each row of a tested survey holds one; of a test that
 * could not be made, a position without a resistance is none.
 */
export function readReadings(draft: Draft, currentProbeM: unknown, isTested: boolean): PlacedReading[] {
  const { long, wide } = draft
  const placed: PlacedReading[] = []
  const empty: SurveyRow[] = []
  for (const row of draft.rows) {
    const reading = long.length > 0 ? readLong(draft, row, long) : null
    if (reading) placed.push(reading)
    else if (wide.length === 0) empty.push(row)
    if (wide.length > 0) placed.push(...readWide(draft, row, wide, currentProbeM))
  }
  if (!isTested)
    return placed.filter(({ reading }) => reading.condition !== 'ok' || reading.resistanceOhm !== undefined)
  const { column: name } = READING_FIELDS.resistanceOhm
  const expected = expectationOf(READING_FIELDS.resistanceOhm)
  // A survey without any reading is told as such; here one row of several is empty.
  if (placed.length > 0)
    for (const row of empty)
      draft.refuse(row, draft.columnOf.get('resistanceOhm'), 'missing-value', { expected, name }, name)
  return withoutRepeats(draft, placed)
}
