import type { AssessmentInput, PeerTest, PriorTest } from '../../shared-lib/history/assessment.ts'
import { defaultParameters } from '../../shared-lib/history/parameters.ts'
import type { Electrode } from '../../shared-lib/survey/register.ts'

/** Invented electrode and tests for the history tests. */
export const ROD: Electrode = {
  electrodeId: 'E-1',
  siteId: 'S-1',
  kind: 'rod',
  lengthM: 3,
  diameterMm: 16,
}

/** A sound short survey of `ohm` on `date` (ISO day), with the slight rise along the line that a 3 m rod at 30 m shows. */
export function testOf(date: string, ohm: number, extra: Partial<PriorTest> = {}): PriorTest {
  const round = (x: number) => Math.round(x * 100) / 100
  return {
    surveyRef: `T-${date}`,
    electrodeId: 'E-1',
    siteId: 'S-1',
    testedAtMs: Date.parse(`${date}T10:00:00Z`),
    method: 'fall-of-potential',
    measuredAs: 'electrode-alone',
    outcome: 'tested',
    validity: 'valid',
    usableForTrend: true,
    resistanceOhm: ohm,
    expandedUncertaintyOhm: ohm * 0.05,
    conformity: 'conforming',
    limitOhm: 25,
    currentProbeM: 30,
    readings: [0.99, 1, 1.02].map((f, i) => ({
      potentialProbeM: [15.6, 18.6, 21.6][i]!,
      resistanceOhm: round(ohm * f),
      condition: 'ok',
    })),
    ownCodes: [],
    ...extra,
  }
}

export function inputOf(tests: PriorTest[], extra: Partial<AssessmentInput> = {}): AssessmentInput {
  return {
    electrode: ROD,
    tests,
    works: [],
    decisions: [],
    peers: [],
    calibrations: [],
    parameters: defaultParameters,
    ...extra,
  }
}

/** Yearly tests in May from `fromYear`, one for each value. */
export function yearly(fromYear: number, values: number[]): PriorTest[] {
  return values.map((ohm, i) => testOf(`${fromYear + i}-05-0${(i % 7) + 1}`, ohm))
}

/** The same dates and movement for `count` neighbours of other levels. */
export function neighbours(tests: PriorTest[], factors: number[], count: number): PeerTest[] {
  return Array.from({ length: count }, (_, n) =>
    tests.map((t, i) => ({
      electrodeId: `N-${n}`,
      siteId: 'S-1',
      surveyRef: `N-${n}-${t.surveyRef}`,
      testedAtMs: t.testedAtMs,
      measuredAs: t.measuredAs,
      lnOhm: Math.log((5 + 3 * n) * factors[i]! * (1 + 0.01 * ((n + i) % 3))),
      validity: 'valid' as const,
    })),
  ).flat()
}
