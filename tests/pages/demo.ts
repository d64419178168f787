import type { SeriesSummary } from '../../shared-lib/history/assessment.ts'
import { findingId } from '../../shared-lib/ledger/finding-id.ts'
import type { FindingItem } from '../../shared-lib/ledger/ledger.ts'
import type { Finding } from '../../shared-lib/survey/finding.ts'
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
    diagonalM: 12,
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

/** A comparison's outcome as the judge writes it: the pages show what is stored, whatever judged it. */
const STEP: Finding = {
  code: 'step-rise',
  severity: 'warning',
  probability: 0.93,
  message:
    '31 ohm against 11.1 ohm expected from 5 earlier tests: a rise to 2.8 times in one step. Repeat the test within 14 days on the same line.',
  advice: ['Repeat the test within 14 days on the same line.', 'Look for a loose, cut or stolen conductor.'],
  evidence: {
    resistanceOhm: 31,
    expectedOhm: 11.1,
    expectedRangeOhm: [8.76, 14.1],
    ratio: 2.79,
    earlier: [{ surveyRef: 'DEMO-R1-2024', testedAt: '2024-05-12', resistanceOhm: 11.1 }],
    neighbours: 0,
    sharedShiftPercent: null,
    alternatives: [{ explanation: 'the decimal point slipped', probability: 0.04 }],
  },
}

async function plant(
  house: House,
  electrodeId: string,
  planted: Record<string, Finding[]>,
  dueOn: string,
): Promise<void> {
  const file = await house.deps.ledger.readElectrodeFile(electrodeId)
  const { electrode } = file!.record
  const putFindings: FindingItem[] = file!.surveys.flatMap(({ survey, judged, receivedAt }) =>
    [...judged.findings, ...(planted[survey.surveyRef] ?? [])]
      .filter((f) => f.severity !== 'notice')
      .map((f) => ({
        ...f,
        id: findingId(electrodeId, survey.surveyRef, f.code),
        state: 'open' as const,
        electrodeId,
        siteId: electrode.siteId,
        surveyRef: survey.surveyRef,
        testedAt: survey.testedAt,
        openedAt: receivedAt,
      })),
  )
  const series: SeriesSummary = {
    measuredAs: 'electrode-alone',
    n: 6,
    medianOhm: 11.2,
    slopePercentPerYear: 0.913,
    slopeLowPercentPerYear: -1.52,
    slopeHighPercentPerYear: 58.3,
    kendallS: 5,
    pValue: 0.45,
    baselineFromMs: null,
  }
  await house.deps.ledger.writeAssessment(electrodeId, {
    rejudged: [],
    putFindings,
    removeFindings: [],
    assessment: { findings: planted, series: [series], parametersVersion: 'test' },
    lastTestedAt: file!.surveys.at(-1)!.survey.testedAt,
    dueOn,
  })
}

export async function fillDemo(house: House): Promise<void> {
  const { ledger, desk, clock } = house.deps
  const nowIso = new Date(clock.nowMs()).toISOString()
  for (const electrode of ELECTRODES) await ledger.putElectrode(electrode, { nowIso })
  for (const survey of SURVEYS)
    await desk.handIn(survey, { via: 'upload', by: 'local:quality', uploadId: 'demo' })
  await plant(house, 'DEMO-R1', { 'DEMO-R1-2025': [STEP] }, '2026-05-01')
  await plant(house, 'DEMO-R2', {}, '2027-05-03')
  await plant(house, 'DEMO-S1', {}, '2026-06-13')
}
