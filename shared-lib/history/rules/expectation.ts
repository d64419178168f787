import type { Parameters } from '../assessment.ts'
import { type Comparison, dayText, rounded } from '../comparison.ts'
import { type Neighbours, sharedShift } from '../neighbours.ts'
import { type Observation, yearsBetween } from '../observation.ts'
import { medianOr, weightedMedian } from '../statistics/robust-scale.ts'

/** What the baseline lets one expect of a test, ln ohm. */
export interface Expectation {
  y: number
  /** Standard deviation of a sound test around it. */
  sd: number
  /** Shift the neighbours shared since the baseline, already in `y`; null without neighbours. */
  sharedLn: number | null
  neighbours: number
}

/** Doubt left when neighbours tell the season: each electrode follows it in its own measure. From simulated fleets. */
const OWN_SEASON_SD = 0.09
/** Weather that no calendar tells. */
const WEATHER_SD = 0.1
const NEWEST = 8

/** Compares with each of the newest baseline tests, season taken off by the neighbours or by the calendar, and takes the middle. */
export function expectationOf(
  current: Observation,
  baseline: readonly Observation[],
  neighbours: Neighbours,
  parameters: Parameters,
): Expectation {
  const used = baseline.slice(-NEWEST)
  const levels: number[] = []
  const weights: number[] = []
  const shifts: number[] = []
  let variance = 0
  let weightSum = 0
  let count = 0
  for (const earlier of used) {
    const shared = sharedShift(neighbours, earlier.day, current.day)
    const seasonVariance =
      shared === null
        ? calendarVariance(yearsBetween(earlier.day, current.day), parameters.seasonLn)
        : OWN_SEASON_SD ** 2 + (3 * parameters.noiseLn ** 2) / shared.count
    const weight = 1 / (parameters.noiseLn ** 2 + seasonVariance)
    levels.push(earlier.y + (shared?.shiftLn ?? 0))
    weights.push(weight)
    weightSum += weight
    variance += weight * seasonVariance
    if (shared !== null) {
      shifts.push(shared.shiftLn)
      count = Math.max(count, shared.count)
    }
  }
  const noiseVariance = parameters.noiseLn ** 2 * (1 + 1.5 / Math.max(1, used.length))
  return {
    y: weightedMedian(levels, weights, current.y),
    sd: Math.sqrt(noiseVariance + (weightSum > 0 ? variance / weightSum : parameters.seasonLn ** 2)),
    sharedLn: shifts.length > 0 ? medianOr(shifts, 0) : null,
    neighbours: count,
  }
}

function calendarVariance(years: number, seasonLn: number): number {
  return 2 * (seasonLn * Math.sin(Math.PI * years)) ** 2 + WEATHER_SD ** 2
}

/** The numbers that a finding keeps as evidence. */
export function comparisonOf(
  current: Observation,
  baseline: readonly Observation[],
  expected: Expectation,
  alternatives: Comparison['alternatives'] = [],
): Comparison {
  return {
    resistanceOhm: Math.exp(current.y),
    expectedOhm: Math.exp(expected.y),
    expectedLowOhm: Math.exp(expected.y - 2 * expected.sd),
    expectedHighOhm: Math.exp(expected.y + 2 * expected.sd),
    ratio: Math.exp(current.y - expected.y),
    earlier: baseline.slice(-NEWEST).map((o) => ({
      surveyRef: o.test.surveyRef,
      testedAt: dayText(o.test.testedAtMs),
      resistanceOhm: rounded(Math.exp(o.y), 4),
    })),
    sharedShiftPercent: expected.sharedLn === null ? null : (Math.exp(expected.sharedLn) - 1) * 100,
    neighbours: expected.neighbours,
    alternatives,
  }
}
