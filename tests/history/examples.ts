import { assessSite } from '../../shared-lib/history/assess-site.ts'
import type {
  Assessment,
  ElectrodeRecord,
  Parameters,
  PriorTest,
} from '../../shared-lib/history/assessment.ts'
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

/** One electrode with its neighbours. */
export interface OneElectrode extends ElectrodeRecord {
  peers: ElectrodeRecord[]
  parameters: Parameters
}

/** The findings of the one electrode, judged with its neighbours. */
export function assessOne({ peers, parameters, ...own }: OneElectrode): Assessment {
  return assessSite({ electrodes: [own, ...peers], calibrations: [], parameters })[own.electrode.electrodeId]!
}

export function inputOf(tests: PriorTest[], extra: Partial<OneElectrode> = {}): OneElectrode {
  return {
    electrode: ROD,
    tests,
    works: [],
    decisions: [],
    peers: [],
    parameters: defaultParameters,
    ...extra,
  }
}

/** Yearly tests in May from `fromYear`, one for each value. */
export function yearly(fromYear: number, values: number[]): PriorTest[] {
  return values.map((ohm, i) => testOf(`${fromYear + i}-05-0${(i % 7) + 1}`, ohm))
}

/** The same dates and movement for `count` neighbours of other levels, known by their values only. */
export function neighbours(tests: PriorTest[], factors: number[], count: number): ElectrodeRecord[] {
  return Array.from({ length: count }, (_, n) => {
    const electrodeId = `N-${n}`
    return {
      electrode: { electrodeId, siteId: 'S-1', kind: 'other' },
      tests: tests.map((t, i) => ({
        ...t,
        electrodeId,
        surveyRef: `N-${n}-${t.surveyRef}`,
        validity: 'valid',
        resistanceOhm: (5 + 3 * n) * factors[i]! * (1 + 0.01 * ((n + i) % 3)),
        readings: [],
      })),
      works: [],
      decisions: [],
    }
  })
}
