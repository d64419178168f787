import { readCell } from '../../../../shared-lib/survey/cells.ts'
import type { Field } from '../../../../shared-lib/survey/field-types.ts'
import { READING_FIELDS } from '../../../../shared-lib/survey/fields.ts'
import { CONDITIONS, type Reading } from '../../../../shared-lib/survey/survey.ts'
import { cellReading, type FormReading, rowLabel, say } from './form-reading.ts'
import { type FormRow, rowDistance } from './form-state.ts'
import { testKind } from './test-kinds.ts'

/** The rows that were used, in order, and which row each reading came from. */
export function readRows(
  context: FormReading,
  currentProbeM: number | undefined,
): { readings: Reading[]; rowOfReading: number[] } {
  const kind = testKind(context.state.test)
  const readings: Reading[] = []
  const rowOfReading: number[] = []
  if (kind.rows === 'none') return { readings, rowOfReading }
  context.state.rows.forEach((row, i) => {
    if (kind.positions !== undefined && kind.positions[i] === undefined) return
    const typedNothing = row.ohm.trim() === '' && (row.condition === '' || row.condition === 'ok')
    if (typedNothing) return
    readings.push({ ...readPlace(context, row, i, currentProbeM), ...readValue(context, row, i) })
    rowOfReading.push(i)
  })
  return { readings, rowOfReading }
}

function readPlace(
  context: FormReading,
  row: FormRow,
  i: number,
  currentProbeM: number | undefined,
): Partial<Reading> {
  const kind = testKind(context.state.test)
  if (kind.rows === 'percent') {
    const distanceM = rowDistance(currentProbeM ?? null, kind.positions?.[i] ?? 0)
    return distanceM === null ? {} : { potentialProbeM: distanceM }
  }
  if (kind.rows === 'plain' || kind.rows === 'none') return {}
  const depth =
    kind.rows === 'spacing'
      ? readCellOf(context, READING_FIELDS.probeDepthM, row.depth, `r${i}-depth`, i)
      : undefined
  const key = kind.rows === 'spacing' ? 'probeSpacingM' : 'potentialProbeM'
  const distance = readCellOf(context, READING_FIELDS[key], row.distance, `r${i}-distance`, i)
  return {
    ...(distance === undefined ? {} : { [key]: distance }),
    ...(depth === undefined ? {} : { probeDepthM: depth }),
  }
}

function readCellOf(
  context: FormReading,
  field: Field,
  typed: string,
  fieldId: string,
  i: number,
): number | undefined {
  if (typed.trim() === '') return undefined
  const cell = readCell(typed.trim(), field, cellReading(field, context))
  if (cell.kind === 'value') return Number(cell.value)
  const code = cell.kind === 'refused' ? cell.code : 'over-range-here'
  context.problems.push({
    fieldId,
    message: say(field, rowLabel(context.state, i, field), code, typed.trim()),
  })
  return undefined
}

function readValue(
  context: FormReading,
  row: FormRow,
  i: number,
): Pick<Reading, 'condition' | 'resistanceOhm' | 'atLeastOhm'> {
  const chosen = CONDITIONS.find((c) => c === row.condition)
  const typed = row.ohm.trim()
  if (typed === '') return { condition: chosen ?? 'ok' }
  const field = READING_FIELDS.resistanceOhm
  const cell = readCell(typed, field, {})
  if (cell.kind === 'over-range') {
    // An open circuit shows the same sign: where the person says which, that stands.
    if (chosen !== undefined && chosen !== 'ok' && chosen !== 'over-range') return { condition: chosen }
    return { condition: 'over-range', ...(cell.atLeast === undefined ? {} : { atLeastOhm: cell.atLeast }) }
  }
  if (cell.kind === 'refused') {
    context.problems.push({
      fieldId: `r${i}-ohm`,
      message: say(field, rowLabel(context.state, i, field), cell.code, typed),
    })
    // Any number will do: with a problem told the survey goes nowhere, and this reading should raise no second one.
    return { condition: 'ok', resistanceOhm: 1 }
  }
  const value = Number(cell.value)
  return chosen === 'over-range'
    ? { condition: chosen, atLeastOhm: value }
    : { condition: chosen ?? 'ok', resistanceOhm: value }
}
