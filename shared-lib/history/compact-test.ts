import {
  CONDITIONS,
  EVENTS,
  MEASURED_AS,
  METHODS,
  OUTCOMES,
  type Reading,
  SOIL_STATES,
  VISUALS,
} from '../survey/survey.ts'
import type { PriorTest } from './assessment.ts'

/**
 * A test in some hundred characters: all that the judgement of a site reads of it, and nothing else. For the one small item
 * an electrode that a comparison reads of each neighbour. `restoreTest` gives a `PriorTest` that is judged exactly alike.
 */
export type CompactTest = (string | number | null | number[][])[]

const VALIDITIES = ['valid', 'doubtful', 'invalid'] as const

export function compactTest(t: PriorTest): CompactTest {
  const row: CompactTest = [
    t.surveyRef,
    t.testedAtMs,
    METHODS.indexOf(t.method),
    MEASURED_AS.indexOf(t.measuredAs),
    OUTCOMES.indexOf(t.outcome),
    VALIDITIES.indexOf(t.validity),
    t.usableForTrend ? 1 : 0,
    t.resistanceOhm,
    t.currentProbeM ?? null,
    t.readings.map(compactReading),
    t.instrumentId ?? null,
    place(SOIL_STATES, t.soilState),
    place(EVENTS, t.event),
    place(VISUALS, t.visual),
    t.corrects ?? null,
    t.lineDirection ?? null,
    t.connection ?? null,
  ]
  while (row.at(-1) === null) row.pop()
  return row
}

/** The test again; electrode and site are known from where it was stored. What the judgement does not read is left empty. */
export function restoreTest(row: CompactTest, electrodeId: string, siteId: string): PriorTest {
  const [ref, at, method, measuredAs, outcome, validity, trend, ohm, out, readings, ...rest] = row
  const [instrument, soil, event, visual, corrects, line, connection] = rest
  const test: PriorTest = {
    surveyRef: String(ref),
    electrodeId,
    siteId,
    testedAtMs: Number(at),
    method: METHODS[Number(method)]!,
    measuredAs: MEASURED_AS[Number(measuredAs)]!,
    outcome: OUTCOMES[Number(outcome)]!,
    validity: VALIDITIES[Number(validity)]!,
    usableForTrend: trend === 1,
    resistanceOhm: typeof ohm === 'number' ? ohm : null,
    expandedUncertaintyOhm: null,
    conformity: 'not-assessed',
    limitOhm: null,
    readings: Array.isArray(readings) ? readings.map(restoreReading) : [],
    ownCodes: [],
  }
  if (typeof out === 'number') test.currentProbeM = out
  if (typeof instrument === 'string') test.instrumentId = instrument
  if (typeof soil === 'number') test.soilState = SOIL_STATES[soil]!
  if (typeof event === 'number') test.event = EVENTS[event]!
  if (typeof visual === 'number') test.visual = VISUALS[visual]!
  if (typeof corrects === 'string') test.corrects = corrects
  if (typeof line === 'string') test.lineDirection = line
  if (connection === '3-wire' || connection === '4-wire') test.connection = connection
  return test
}

/** [distance, ohm], with −1 for what is not there, and the condition where it is not `ok`. */
function compactReading(r: Reading): number[] {
  const short = [r.potentialProbeM ?? -1, r.resistanceOhm ?? -1]
  return r.condition === 'ok' ? short : [...short, CONDITIONS.indexOf(r.condition)]
}

function restoreReading(row: number[]): Reading {
  const reading: Reading = { condition: CONDITIONS[row[2] ?? 0]! }
  if (row[0] !== undefined && row[0] >= 0) reading.potentialProbeM = row[0]
  if (row[1] !== undefined && row[1] >= 0) reading.resistanceOhm = row[1]
  return reading
}

function place<T>(list: readonly T[], value: T | undefined): number | null {
  return value === undefined ? null : list.indexOf(value)
}
