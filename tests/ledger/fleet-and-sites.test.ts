import { describe, expect, it } from 'vitest'
import { defaultParameters } from '../../shared-lib/history/parameters.ts'
import { compareSite } from '../../shared-lib/ledger/compare-site.ts'
import { countFleet } from '../../shared-lib/ledger/count-fleet.ts'
import { createDesk } from '../../shared-lib/ledger/hand-in.ts'
import { learnFleet } from '../../shared-lib/ledger/learn-fleet.ts'
import { parametersInForce } from '../../shared-lib/ledger/parameters.ts'
import { rejudgeAll } from '../../shared-lib/ledger/rejudge-all.ts'
import type { OutgoingMessage } from '../../shared-lib/ports/queue.ts'
import type { Survey } from '../../shared-lib/survey/survey.ts'
import { electrode, NOW } from './examples.ts'
import { ledgerUnderTest } from './ledger-under-test.ts'

const under = ledgerUnderTest()
const origin = { via: 'api' as const, by: 'local:field' }

const line = (electrodeId: string, ref: string, month: number): Survey => ({
  ...{
    surveyRef: ref,
    electrodeId,
    method: 'fall-of-potential',
    outcome: 'tested',
    measuredAs: 'electrode-alone',
  },
  ...{ testedAt: new Date(Date.UTC(2025, month, 3, 9)).toISOString(), currentProbeM: 30 },
  readings: [
    { potentialProbeM: 15.6, resistanceOhm: 30.2 + month / 50, condition: 'ok' },
    { potentialProbeM: 18.6, resistanceOhm: 30.6 + month / 40, condition: 'ok' },
    { potentialProbeM: 21.6, resistanceOhm: 31.1 + month / 60, condition: 'ok' },
  ],
})
/** Wenner's arrangement over uniform ground of 100 ohm-m: R = rho / (2 pi a). */
const sounding = (siteId: string): Survey => ({
  ...{ surveyRef: 'W-1', siteId, method: 'four-point', outcome: 'tested', measuredAs: 'not-known' },
  testedAt: '2025-08-01T09:00:00Z',
  readings: [1, 2, 4, 8].map((probeSpacingM) => ({
    ...{ probeSpacingM, probeDepthM: 0.1, condition: 'ok' as const },
    resistanceOhm: Number((100 / (2 * Math.PI * probeSpacingM)).toFixed(3)),
  })),
})

let ids = 0
function house() {
  const sent: OutgoingMessage[] = []
  const queue = { send: async (m: OutgoingMessage[]) => void sent.push(...m) }
  const clock = { nowMs: () => Date.parse(NOW) }
  const newId = () => `id-${ids++}`
  const desk = createDesk({ ledger: under.ledger, compareQueue: queue, clock, newId })
  const compare = async () => {
    for (const { body } of sent.splice(0)) {
      const { siteId, electrodeId, surveyRef } = body as Record<string, string | undefined>
      const told = electrodeId && surveyRef ? [{ electrodeId, surveyRef }] : []
      const run = { ledger: under.ledger, parameters: await parametersInForce(under.ledger), newId }
      const quiet = { beforeNews: async () => {}, afterNews: async () => {}, nowIso: () => NOW }
      await compareSite({ ...run, ...quiet }, siteId!, told)
    }
  }
  return { desk, queue, compare }
}

async function register(siteId: string, id: string) {
  const words = electrode(id, { siteId, diameterMm: 16, limitOhm: 50 })
  await under.ledger.putElectrode(words, { nowIso: NOW })
}
const judged = async (id: string) =>
  (await under.ledger.readElectrodeFile(id))!.surveys.map((s) => [s.judged.resistanceOhm, s.judged.reasons])

describe('a four-point survey of the site', () => {
  it('judges what was tested before and after it anew, whichever arrived first', async () => {
    const { desk, compare } = house()
    for (const site of ['SA', 'SB']) await register(site, `${site}-1`)
    // Twice the same: in SA the sounding comes last, in SB first; in between comparisons run at any time.
    await desk.handIn(line('SA-1', 'a', 0), origin)
    await compare()
    const before = await judged('SA-1')
    await desk.handIn(line('SA-1', 'b', 6), origin)
    await desk.handIn(sounding('SA'), origin)
    await compare()
    await desk.handIn(sounding('SB'), origin)
    await compare()
    for (const [ref, month] of [
      ['b', 6],
      ['a', 0],
    ] as const)
      await desk.handIn(line('SB-1', ref, month), origin)
    await compare()
    const after = await judged('SA-1')
    expect(after).toEqual(await judged('SB-1'))
    expect(after[0]).not.toEqual(before[0])
    expect((await under.ledger.getSiteHeader('SA'))?.soil?.upperOhmM).toBeCloseTo(100, -1)
  })
})

describe('what the fleet teaches', () => {
  it('is proposed with what it would change, judges nothing until it is adopted, and then every site', async () => {
    const { desk, queue, compare } = house()
    await register('SC', 'SC-1')
    for (let n = 0; n < 8; n++) await desk.handIn(line('SC-1', `c${n}`, n), origin)
    await compare()
    const learnt = await learnFleet(under.ledger, defaultParameters, NOW)
    expect(learnt?.parameters.version).not.toBe(defaultParameters.version)
    expect(await learnFleet(under.ledger, defaultParameters, NOW)).toBeNull()
    const version = learnt!.parameters.version
    const of = async () => (await under.ledger.readElectrodeFile('SC-1'))?.assessment?.parametersVersion
    expect(await of()).toBe(defaultParameters.version)
    const by = { by: 'local:engineer', at: NOW }
    expect(await under.ledger.adoptParameters({ version: 'none', ...by })).toBe(false)
    expect(await under.ledger.adoptParameters({ version, ...by })).toBe(true)
    await rejudgeAll(under.ledger, queue, { stamp: 's', nowIso: NOW })
    await compare()
    expect(await of()).toBe(version)
    expect(await under.ledger.listMarks()).toEqual([])
  })
})

describe('the tag on the post', () => {
  it('leads to its electrodes however it is written, and no longer once it has changed', async () => {
    const { ledger } = under
    const words = (id: string, tag: string) => electrode(id, { siteId: 'TAG', tag })
    await ledger.putElectrode(words('T-1', 'Gate 7'), { nowIso: NOW })
    await ledger.putElectrode(words('T-2', 'gate 7'), { nowIso: NOW })
    const found = async (tag: string) =>
      (await ledger.electrodesByTag(tag)).map((r) => r.electrode.electrodeId).sort()
    expect(await found(' GATE 7')).toEqual(['T-1', 'T-2'])
    await ledger.putElectrode(words('T-2', 'Gate 8'), { nowIso: '2026-06-01T00:00:00Z' })
    expect(await found('gate 7')).toEqual(['T-1'])
    expect(await found('gate 9')).toEqual([])
  })
})

describe('a survey held for somebody who hands in for some sites only', () => {
  it('stays held when its electrode turns out to be at another site, and goes in at their own', async () => {
    const { desk } = house()
    for (const id of ['HO-1', 'HO-2']) await desk.handIn(line(id, 'h', 2), origin, ['OWN'])
    await register('OTHER', 'HO-1')
    await register('OWN', 'HO-2')
    expect(await desk.releaseHeld('HO-1')).toBe(0)
    expect(await desk.releaseHeld('HO-2')).toBe(1)
    expect((await under.ledger.heldFor('HO-1')).map((h) => h.survey.surveyRef)).toEqual(['h'])
    expect(await under.ledger.getSurvey({ kind: 'electrode', id: 'HO-1' }, 'h')).toBeNull()
  })
})

describe('the count of the fleet', () => {
  it('writes a site only where it stands otherwise than before, and takes away a site that is no more', async () => {
    const { ledger } = under
    const { desk, compare } = house()
    for (const site of ['CA', 'CB']) {
      await register(site, `${site}-1`)
      await desk.handIn(line(`${site}-1`, 'c', 2), origin)
    }
    await compare()
    const count = (of: string[], nowIso: string) =>
      countFleet(
        ledger,
        (async function* () {
          for (const siteId of of) yield { siteId, ...(await ledger.readSite(siteId)) }
        })(),
        nowIso,
      )
    expect(await count(['CA', 'CB'], NOW)).toBe(2)
    const stood = { electrodes: 1, counts: { conforming: 1, nonconforming: 0, overdue: 0 } }
    expect((await ledger.getFleetStanding()).sites).toMatchObject([
      { siteId: 'CA', ...stood },
      { siteId: 'CB', ...stood },
    ])
    // The same again writes no site; only when it was counted is new.
    expect(await count(['CA', 'CB'], '2026-06-02T00:00:00Z')).toBe(0)
    expect((await ledger.getFleetStanding()).countedAt).toBe('2026-06-02T00:00:00Z')
    expect(await count(['CA'], '2026-06-03T00:00:00Z')).toBe(1)
    expect((await ledger.getFleetStanding()).sites.map((s) => s.siteId)).toEqual(['CA'])
  })
})
