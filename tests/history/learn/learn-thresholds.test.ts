import { beforeAll, describe, expect, it } from 'vitest'
import { type Random, randomFor } from '../../../sample-data/make/random.ts'
import { assessSite } from '../../../shared-lib/history/assess-site.ts'
import type { Decision, Parameters } from '../../../shared-lib/history/assessment.ts'
import type { DecidedFinding } from '../../../shared-lib/history/learn/decided-findings.ts'
import {
  type LearntParameters,
  learnParameters,
  type SiteHistory,
} from '../../../shared-lib/history/learn/learn-parameters.ts'
import { thresholdChanges, thresholdsFrom } from '../../../shared-lib/history/learn/learn-thresholds.ts'
import { DEFAULT_BELIEFS } from '../../../shared-lib/history/model/beliefs.ts'
import { defaultParameters } from '../../../shared-lib/history/parameters.ts'
import { parseParameters } from '../../../shared-lib/history/parse-parameters.ts'
import type { Finding } from '../../../shared-lib/survey/finding.ts'
import { judgeAlone } from '../../bench/fleet/judge-fleet.ts'
import { SETTINGS } from '../../bench/fleet/setting.ts'
import { simulateFleet } from '../../bench/fleet/simulate-fleet.ts'

/** `n` decisions about findings of which `share` of the stated chance is true, by people of whom some are wrong. */
function decisions(n: number, share: number, wrong: number, random: Random): DecidedFinding[] {
  return Array.from({ length: n }, () => {
    const stated = random.between(0.6, 0.98)
    const isTrue = random.chance(stated * share)
    return { code: 'step-rise', stated, confirmed: random.chance(wrong) ? !isTrue : isTrue }
  })
}
const USUAL = DEFAULT_BELIEFS.threshold
const thresholdAfter = (list: DecidedFinding[]) => thresholdsFrom(list).thresholds['step-rise']

describe('the threshold of a code, learnt from decisions', () => {
  const random = randomFor('reviewers')

  it('stays where it was when as many are confirmed as was promised, though one reviewer in twenty errs', () => {
    const learnt = thresholdAfter(decisions(600, 1, 0.05, random))!
    expect(Math.abs(learnt - USUAL)).toBeLessThan(0.08)
  })

  it('rises where half of what was promised is confirmed', () => {
    const learnt = thresholdAfter(decisions(400, 0.5, 0.05, random))!
    expect(learnt).toBeGreaterThan(USUAL + 0.2)
    expect(learnt).toBeLessThanOrEqual(0.9)
  })

  it('moves the further the more decisions stand behind it', () => {
    const few = thresholdAfter(decisions(25, 0.4, 0, random))!
    const many = thresholdAfter(decisions(500, 0.4, 0, random))!
    expect(few).toBeGreaterThan(USUAL)
    expect(many).toBeGreaterThan(few)
  })

  it('is not touched by a handful of decisions, which are counted all the same', () => {
    const learnt = thresholdsFrom(decisions(12, 0, 0, random))
    expect(learnt.thresholds).toEqual({})
    expect(learnt.decided['step-rise']).toEqual({ confirmed: 0, dismissed: 12 })
  })

  it('never runs away, whoever decides: careless people cannot silence a code nor make it shout', () => {
    expect(thresholdAfter(decisions(5000, 0, 0, random))!).toBe(0.9)
    const all = decisions(5000, 1, 0, random).map((d) => ({ ...d, stated: 0.6, confirmed: true }))
    expect(thresholdAfter(all)!).toBeCloseTo(0.8 * USUAL, 2)
  })
})

describe('an operator whose reviewers decide', () => {
  const fleet = simulateFleet({ ...SETTINGS.rough!, noiseSd: 0.11, sites: 36, years: 12 }, 'decide')
  const truth = new Map(fleet.truth.map((t) => [t.ref, t]))
  const isTrue = (ref: string) => truth.get(ref)!.labels.length > 0
  const alone = judgeAlone({ ...fleet, works: [] })
  const undecided: SiteHistory[] = [...alone.sites.values()].map((electrodes) => ({
    electrodes,
    calibrations: alone.calibrations,
  }))
  const judged = (sites: readonly SiteHistory[], parameters: Parameters) =>
    sites.flatMap((site) => Object.entries(assessSite({ ...site, parameters })))
  const loudOf = (parameters: Parameters) =>
    judged(undecided, parameters).flatMap(([electrodeId, { findings }]) =>
      Object.entries(findings).flatMap(([surveyRef, list]) =>
        list.filter((f) => f.severity !== 'notice').map((f) => ({ electrodeId, surveyRef, f })),
      ),
    )
  /** Everything that was raised is looked at; one answer in ten is wrong. */
  function decide(raised: { electrodeId: string; surveyRef: string; f: Finding }[]): SiteHistory[] {
    const random = randomFor('deciding')
    const byElectrode = Map.groupBy(raised, (r) => r.electrodeId)
    const decisionOf = ({ surveyRef, electrodeId, f }: (typeof raised)[number]): Decision => ({
      decisionId: `D-${surveyRef}-${f.code}`,
      findingId: `${electrodeId}-${surveyRef}-${f.code}`,
      ...{ surveyRef, code: f.code, reason: 'looked at', decidedBy: 'quality', decidedAtMs: 1 },
      action: random.chance(0.1) !== isTrue(surveyRef) ? 'confirm' : 'accept',
    })
    return undecided.map((site) => ({
      ...site,
      electrodes: site.electrodes.map((e) => ({
        ...e,
        decisions: (byElectrode.get(e.electrode.electrodeId) ?? []).map(decisionOf),
      })),
    }))
  }
  const raised = loudOf(defaultParameters)
  let learnt: LearntParameters
  beforeAll(async () => {
    learnt = await learnParameters(decide(raised))
  })

  it('hears fewer false alarms of the codes that were dismissed most, and nearly as many true ones', () => {
    const after = loudOf({ ...defaultParameters, version: 'x', thresholds: learnt.thresholds! })
    const count = (list: typeof raised, really: boolean) =>
      list.filter((r) => isTrue(r.surveyRef) === really).length
    expect(count(after, false)).toBeLessThan(0.9 * count(raised, false))
    expect(count(after, true)).toBeGreaterThan(0.85 * count(raised, true))
  })

  it('is shown what adopting would change, code by code, with the decisions behind it', () => {
    const changes = thresholdChanges(defaultParameters, learnt)
    expect(changes.map((c) => c.code)).toEqual(Object.keys(learnt.thresholds!).sort())
    for (const c of changes) expect(c.confirmed + c.dismissed).toBeGreaterThanOrEqual(20)
    expect(thresholdChanges(learnt, learnt)).toEqual([])
  })

  it('gets them as a version of their own that is read back as it was written', async () => {
    expect(learnt.version).not.toBe((await learnParameters(undecided)).version)
    expect(parseParameters(JSON.parse(JSON.stringify(learnt)))).toEqual({ ok: true, parameters: learnt })
    expect(parseParameters({ ...learnt, thresholds: { 'step-rise': 0 } }).ok).toBe(false)
    expect(parseParameters({ ...learnt, thresholds: { 'no-such': 0.5 } }).ok).toBe(false)
  })
})
