import { assessSite } from './assess-site.ts'
import type { Assessment, AssessmentInput, ElectrodeRecord, PeerTest, PriorTest } from './assessment.ts'

/**
 * Judges every test of one electrode against the tests before it, with what is known of its neighbours: the site's judgement
 * for a caller that has one electrode's whole history and only the values of the others. `assessSite` knows more (the
 * neighbours' own readings, sizes and repairs) and is what to use where a whole site is at hand.
 * Pure and deterministic; by test date, so the order of the input cannot be seen. Never throws on data.
 */
export function assessElectrode(input: AssessmentInput): Assessment {
  const { electrode, tests, works, decisions, calibrations, parameters } = input
  const own: ElectrodeRecord = { electrode, tests, works, decisions }
  const site = assessSite({
    electrodes: [own, ...bareNeighbours(electrode.electrodeId, electrode.siteId, input.peers)],
    calibrations,
    parameters,
    ...(input.asOfMs === undefined ? {} : { asOfMs: input.asOfMs }),
  })
  return site[electrode.electrodeId]!
}

/** The site's other electrodes as far as their values tell: without size, readings or repairs. */
function bareNeighbours(electrodeId: string, siteId: string, peers: readonly PeerTest[]): ElectrodeRecord[] {
  const tests = new Map<string, PriorTest[]>()
  for (const p of peers) {
    if (p.electrodeId === electrodeId || p.siteId !== siteId || !Number.isFinite(p.lnOhm)) continue
    const list = tests.get(p.electrodeId)
    if (list) list.push(bareTest(p))
    else tests.set(p.electrodeId, [bareTest(p)])
  }
  return [...tests].map(([id, list]) => ({
    electrode: { electrodeId: id, siteId, kind: 'other' },
    tests: list,
    works: [],
    decisions: [],
  }))
}

function bareTest(p: PeerTest): PriorTest {
  return {
    surveyRef: p.surveyRef,
    electrodeId: p.electrodeId,
    siteId: p.siteId,
    testedAtMs: p.testedAtMs,
    method: 'fall-of-potential',
    measuredAs: p.measuredAs,
    outcome: 'tested',
    validity: p.validity,
    usableForTrend: p.validity === 'valid',
    resistanceOhm: Math.exp(p.lnOhm),
    expandedUncertaintyOhm: null,
    conformity: 'not-assessed',
    limitOhm: null,
    readings: [],
    ownCodes: [],
    ...(p.instrumentId === undefined ? {} : { instrumentId: p.instrumentId }),
  }
}
