import type { Electrode } from '../../shared-lib/survey/register.ts'
import type { Survey } from '../../shared-lib/survey/survey.ts'
import type { House } from './house.ts'

/** An invented operator for the page tests: two sites, a few electrodes, one that is failing. */

const ELECTRODES: Electrode[] = [
  {
    electrodeId: 'DEMO-R1',
    siteId: 'DEMO-NORTH',
    kind: 'rod',
    lengthM: 3,
    diameterMm: 16,
    limitOhm: 25,
    limitBasis: 'invented house rule',
    tag: '100',
    locationText: 'behind the pump house',
    usualLine: 'towards the north gate',
    usualCurrentProbeM: 30,
    canBeIsolated: 'outage-only',
    connectedTo: 'surge arresters of bay 2',
    hazards: 'buried 10 kV cable along the west fence',
    responsibleEmail: 'engineer@example.org',
    retestMonths: 12,
    installedOn: '2014-06-01',
    timeZone: 'Europe/Vienna',
  },
  {
    electrodeId: 'DEMO-R2',
    siteId: 'DEMO-NORTH',
    kind: 'rod',
    lengthM: 3,
    limitOhm: 25,
    retestMonths: 12,
    responsibleEmail: 'other@example.org',
  },
  {
    electrodeId: 'DEMO-G1',
    siteId: 'DEMO-NORTH',
    kind: 'grid',
    diagonalM: 40,
    limitOhm: 1,
    retestMonths: 48,
    locationText: 'yard <west>',
  },
  {
    electrodeId: 'DEMO-S1',
    siteId: 'DEMO-SOUTH',
    kind: 'ring',
    // Its test has the current probe at 30 m: near enough that somebody is told.
    diagonalM: 14,
    limitOhm: 10,
    retestMonths: 12,
  },
]

export function shortSurvey(
  ref: string,
  electrodeId: string,
  testedAt: string,
  levelOhm: number,
  change: Partial<Survey> = {},
): Survey {
  const at = (percent: number, factor: number) => ({
    potentialProbeM: (30 * percent) / 100,
    resistanceOhm: Math.round(levelOhm * factor * 100) / 100,
    condition: 'ok' as const,
  })
  return {
    surveyRef: ref,
    electrodeId,
    testedAt,
    method: 'fall-of-potential',
    outcome: 'tested',
    measuredAs: 'electrode-alone',
    currentProbeM: 30,
    instrumentId: 'DEMO-I1',
    tester: 'A. Tester',
    soilState: 'moist',
    readings: [at(52, 0.985), at(62, 1), at(72, 1.018)],
    ...change,
  }
}

/** R1: five steady tests, then a break; G1: one connected test; R1 also one survey with every reading over range. */
const SURVEYS: Survey[] = [
  ...[11.0, 11.4, 10.9, 11.3, 11.1].map((ohm, i) =>
    shortSurvey(`DEMO-R1-${2020 + i}`, 'DEMO-R1', `${2020 + i}-05-12T10:00:00+02:00`, ohm),
  ),
  shortSurvey('DEMO-R1-2025', 'DEMO-R1', '2025-05-13T10:00:00+02:00', 31),
  shortSurvey('DEMO-R2-2025', 'DEMO-R2', '2025-05-13T11:00:00+02:00', 14),
  shortSurvey('DEMO-S1-2025', 'DEMO-S1', '2025-06-13T11:00:00+02:00', 4),
  {
    ...shortSurvey('DEMO-R2-OPEN', 'DEMO-R2', '2026-05-03T09:00:00+02:00', 1),
    readings: [52, 62, 72].map((p) => ({
      potentialProbeM: 0.3 * p,
      condition: 'over-range' as const,
      atLeastOhm: 2000,
    })),
    probeHOhm: 300,
    probeSOhm: 280,
  },
]

export async function fillDemo(house: House): Promise<void> {
  const { ledger, desk, clock } = house.deps
  const nowIso = new Date(clock.nowMs()).toISOString()
  for (const electrode of ELECTRODES) await ledger.putElectrode(electrode, { nowIso })
  for (const survey of SURVEYS)
    await desk.handIn(survey, { via: 'upload', by: 'local:quality', uploadId: 'demo' })
  await house.compare()
}
