import { seeded } from '../../sample-data/make/random.ts'
import { findingId } from '../../shared-lib/ledger/finding-id.ts'
import type { FindingCode } from '../../shared-lib/survey/finding.ts'
import type { House } from './house.ts'

/** A small operator's year, as the things that people hand in. The same seed makes the same numbers. */

export interface PlainSurvey {
  surveyRef: string
  electrodeId: string
  testedAt: string
  /** Readings at 52, 62 and 72 % of 30 m, ohm. */
  ohms: [number, number, number]
  instrumentId?: string
}

interface PlainDecision {
  findingId: string
  action: 'accept' | 'set-aside' | 'retest' | 'confirm' | 'repaired'
  reason: string
}

export interface Scenario {
  registerCsv: string
  surveys: PlainSurvey[]
  decisions: PlainDecision[]
}

const CURRENT_PROBE_M = 30
const id = (e: number) => `T-${String(e).padStart(2, '0')}`

/**
 * `electrodes` rods at three to a site, `tests` each half a year apart. The first rises far above its limit at its last test, the
 * second has one test that stands out; both are decided about by the quality team.
 */
export function makeScenario(electrodes: number, tests: number, seed = 1): Scenario {
  const random = seeded(seed)
  const register = [
    'electrode_id,site_id,kind,length_m,diameter_mm,limit_ohm,responsible_email,retest_months',
  ]
  const surveys: PlainSurvey[] = []
  const decisions: PlainDecision[] = []
  for (let e = 0; e < electrodes; e++) {
    register.push(`${id(e)},TS-${Math.floor(e / 3)},rod,3,16,25,engineer${e % 2}@example.org,12`)
    const level = 8 + 8 * random()
    for (let t = 0; t < tests; t++) {
      const last = t === tests - 1
      const lift = (e === 0 && last ? 60 / level : 1) * (e === 1 && t === 1 ? 1.9 : 1)
      const ohm = (share: number) => Number((level * lift * share * (1 + 0.01 * (random() - 0.5))).toFixed(2))
      surveys.push({
        surveyRef: `${id(e)}-${t}`,
        electrodeId: id(e),
        testedAt: new Date(Date.UTC(2022, 6 * t, 1 + e, 10)).toISOString(),
        ohms: [ohm(0.985), ohm(1), ohm(1.015)],
        ...(e % 2 === 0 ? { instrumentId: 'M-1' } : {}),
      })
    }
  }
  const finding = (surveyRef: string, electrodeId: string, code: FindingCode) =>
    findingId(electrodeId, surveyRef, code)
  decisions.push({
    findingId: finding(`${id(0)}-${tests - 1}`, id(0), 'limit-exceeded'),
    action: 'confirm',
    reason: 'measured again by hand',
  })
  return { registerCsv: `${register.join('\n')}\n`, surveys, decisions }
}

export const asJson = (s: PlainSurvey) => ({
  surveyRef: s.surveyRef,
  electrodeId: s.electrodeId,
  testedAt: s.testedAt,
  currentProbeM: CURRENT_PROBE_M,
  measuredAs: 'electrode-alone',
  ...(s.instrumentId ? { instrumentId: s.instrumentId } : {}),
  readings: s.ohms.map((resistanceOhm, i) => ({
    potentialProbeM: [15.6, 18.6, 21.6][i],
    resistanceOhm,
  })),
})

export const asForm = (s: PlainSurvey): Record<string, string> => ({
  test: 'short',
  shown: 'short',
  unit: 'm',
  action: 'hand-in',
  surveyRef: s.surveyRef,
  electrodeId: s.electrodeId,
  testedAt: s.testedAt.slice(0, 16),
  measuredAs: 'electrode-alone',
  currentProbeM: String(CURRENT_PROBE_M),
  ...(s.instrumentId ? { instrumentId: s.instrumentId } : {}),
  ...Object.fromEntries(
    s.ohms.flatMap((ohm, i) => [
      [`r${i}-ohm`, String(ohm)],
      [`r${i}-condition`, 'ok'],
    ]),
  ),
})

export const asCsv = (surveys: readonly PlainSurvey[]): string =>
  [
    'survey_ref,electrode_id,tested_at,current_probe_m,measured_as,instrument_id,r52_ohm,r62_ohm,r72_ohm',
    ...surveys.map((s) =>
      [
        s.surveyRef,
        s.electrodeId,
        s.testedAt,
        CURRENT_PROBE_M,
        'electrode-alone',
        s.instrumentId ?? '',
        ...s.ohms,
      ].join(','),
    ),
    '',
  ].join('\n')

/** One thing that somebody does. */
export type Act =
  | { kind: 'json' | 'form'; survey: PlainSurvey }
  | { kind: 'upload'; surveys: PlainSurvey[] }
  | { kind: 'decision'; decision: PlainDecision }
  | { kind: 'register'; csv: string }

/** How an act ended: done, to be repeated later (a failure of ours), or there is nothing to decide about yet. */
export type Acted = 'done' | 'again' | 'not-yet'

const csv = { 'content-type': 'text/csv' }
const json = { 'content-type': 'application/json' }

function send(house: House, act: Act): Promise<Response> {
  switch (act.kind) {
    case 'json':
      return house.ask('field', '/api/surveys', {
        method: 'POST',
        headers: json,
        body: JSON.stringify(asJson(act.survey)),
      })
    case 'form':
      return house.ask('field', '/surveys/new', {
        as: 'session',
        method: 'POST',
        body: new URLSearchParams(asForm(act.survey)),
      })
    case 'upload':
      return house.ask('field', '/api/uploads', { method: 'POST', headers: csv, body: asCsv(act.surveys) })
    case 'register':
      return house.ask('admin', '/api/register', { method: 'POST', headers: csv, body: act.csv })
    case 'decision': {
      const { findingId: id, action, reason } = act.decision
      return house.ask('quality', `/api/findings/${encodeURIComponent(id)}/decisions`, {
        method: 'POST',
        headers: json,
        body: JSON.stringify({ action, reason }),
      })
    }
  }
}

/** Does it once, as somebody who reads the answer. Throws when the service refuses what it should take. */
export async function perform(house: House, act: Act): Promise<Acted> {
  const answer = await send(house, act)
  const text = await answer.text()
  if (answer.status >= 500) return 'again'
  if (act.kind === 'decision' && answer.status === 404) return 'not-yet'
  const fine = act.kind === 'form' ? answer.status === 303 : answer.ok
  if (!fine) throw new Error(`${act.kind} was answered ${answer.status}: ${text.slice(0, 1500)}`)
  return 'done'
}
