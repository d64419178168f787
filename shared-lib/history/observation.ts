import type { PriorTest } from './assessment.ts'
import { medianOr } from './statistics/robust-scale.ts'

/** A test as the comparison sees it: natural logarithms of ohm, days since 1970. */
export interface Observation {
  test: PriorTest
  day: number
  /** ln of the survey's resistance: the evaluation's, or the middle reading where it gives none. */
  y: number
  /** Usable readings in ohm, in order of distance. */
  readingsOhm: number[]
  /** The display's step at this value, ohm. */
  stepOhm: number
  /** ln of the factor by which one single reading stands off the others, when that is near ten; else null. */
  oneReadingOffLn: number | null
}

export const DAY_MS = 86_400_000
const YEAR_DAYS = 365.25

/** Years between two days. */
export function yearsBetween(fromDay: number, toDay: number): number {
  return (toDay - fromDay) / YEAR_DAYS
}

/** The step of a four-digit display at `ohm`: 0.01 below 20, 0.1 below 200, 1 below 2000, else 10 (common practice, no source). */
export function displayStepOhm(ohm: number): number {
  if (ohm < 20) return 0.01
  if (ohm < 200) return 0.1
  return ohm < 2000 ? 1 : 10
}

/** Null when there is nothing to compare: no date, no outcome, no reading above zero. A display of 0.00 counts as one step. */
export function observe(test: PriorTest): Observation | null {
  if (!Number.isFinite(test.testedAtMs) || test.outcome !== 'tested') return null
  const usable = test.readings
    .filter((r) => r.condition === 'ok' && r.resistanceOhm !== undefined && r.resistanceOhm >= 0)
    .sort((a, b) => (a.potentialProbeM ?? 0) - (b.potentialProbeM ?? 0))
  const readingsOhm = usable.map((r) => Math.max(0.01, r.resistanceOhm!)).filter(Number.isFinite)
  const middle = middleReadings(test, usable)
  const given = test.resistanceOhm
  const value = given !== null && given > 0 && Number.isFinite(given) ? given : medianOr(middle, Number.NaN)
  if (!(value > 0)) return null
  const slip = oneReadingOff(middle)
  return {
    test,
    day: test.testedAtMs / DAY_MS,
    y: slip === null ? Math.log(value) : slip.othersLn,
    readingsOhm,
    stepOhm: displayStepOhm(value),
    oneReadingOffLn: slip === null ? null : slip.offLn,
  }
}

/** Readings between 45 and 75 % of the way out, or all when the distances are not known. */
function middleReadings(test: PriorTest, usable: PriorTest['readings']): number[] {
  const out = test.currentProbeM
  const inside = usable.filter((r) => {
    if (out === undefined || r.potentialProbeM === undefined) return true
    const share = r.potentialProbeM / out
    return share >= 0.45 && share <= 0.75
  })
  return (inside.length > 0 ? inside : usable).map((r) => Math.max(0.01, r.resistanceOhm!))
}

/** One reading of three or more that stands off the others by about ten while they agree among themselves. */
function oneReadingOff(ohms: readonly number[]): { offLn: number; othersLn: number } | null {
  if (ohms.length < 3) return null
  const logs = ohms.map(Math.log)
  const centre = medianOr(logs, 0)
  const far = logs.filter((l) => Math.abs(l - centre) > 1.6)
  if (far.length !== 1 || Math.abs(far[0]! - centre) > 3) return null
  const others = logs.filter((l) => l !== far[0])
  if (Math.max(...others) - Math.min(...others) > 0.5) return null
  const othersLn = others.reduce((a, b) => a + b, 0) / others.length
  return { offLn: far[0]! - othersLn, othersLn }
}
