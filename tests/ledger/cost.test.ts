import { beforeAll, describe, expect, it } from 'vitest'
import { createChunkStore } from '../../functions/intake/chunk-store.ts'
import { seeded } from '../../sample-data/make/random.ts'
import { createBooksReader } from '../../shared-lib/ledger/books.ts'
import { compareSite } from '../../shared-lib/ledger/compare-site.ts'
import { createLedger } from '../../shared-lib/ledger/create-ledger.ts'
import { createDesk } from '../../shared-lib/ledger/hand-in.ts'
import type { Ledger } from '../../shared-lib/ledger/ledger.ts'
import { parametersReader } from '../../shared-lib/ledger/parameters.ts'
import type { Survey } from '../../shared-lib/survey/survey.ts'
import { electrode, NOW, upload } from './examples.ts'
import { ledgerUnderTest } from './ledger-under-test.ts'
import { meteredClient, type Used } from './metered-client.ts'

/** A site of 12 electrodes, each with so many earlier surveys, all by one instrument and quiet, as a well-kept site is. */
const ELECTRODES = 12
const siteOf = (prior: number) => `COST-${prior}`
const idsOf = (prior: number) =>
  Array.from({ length: ELECTRODES }, (_, i) => `C${prior}-${String(i).padStart(2, '0')}`)
const words = (id: string, siteId: string) =>
  electrode(id, {
    ...{ siteId, diameterMm: 16, limitOhm: 50, retestMonths: 6 },
    ...{ responsibleEmail: 'ana@example.org', material: 'copper', installedOn: '1990-05-01' },
  })

function survey(id: string, n: number): Survey {
  const place = Number(id.slice(-2))
  const level = 10 + place
  const random = seeded(1000 * n + level)
  const wobble = 1 + 0.04 * (random() - 0.5)
  const ohm = (share: number) => Number((level * wobble * share * (1 + 0.016 * (random() - 0.5))).toFixed(2))
  return {
    ...{ surveyRef: `S-${id}-${n}`, electrodeId: id, method: 'fall-of-potential', outcome: 'tested' },
    ...{ testedAt: new Date(Date.UTC(1996, 6 * n, 3, 9, place)).toISOString() },
    ...{ measuredAs: 'electrode-alone', currentProbeM: 40, instrumentId: 'I-7', tester: 'crew 2' },
    readings: [0.52, 0.62, 0.72].map((share, i) => ({
      ...{ potentialProbeM: 40 * share, resistanceOhm: ohm(0.985 + 0.015 * i), condition: 'ok' as const },
    })),
  }
}

const under = ledgerUnderTest()
let ledger: Ledger
let used: Used
const spent = async <T>(work: () => Promise<T>): Promise<Used> => {
  const before = { ...used }
  await work()
  return { read: used.read - before.read, write: used.write - before.write }
}
const clock = { nowMs: () => Date.parse(NOW) }
let counter = 0
const newId = () => `id${counter++}`
const compare = (siteId: string, told: { electrodeId: string; surveyRef: string }[] = []) =>
  compareSite(
    {
      ...{ ledger, parameters: parametersReader(ledger), newId, nowIso: () => NOW },
      ...{ beforeNews: (news) => expect(news).toEqual([]) as never, afterNews: async () => {} },
    },
    siteId,
    told,
  )

describe.each([20, 60])('what a survey costs after %i earlier ones', (PRIOR) => {
  const ids = idsOf(PRIOR)
  const siteId = siteOf(PRIOR)
  let backfill: Used
  beforeAll(async () => {
    const metered = meteredClient(under.client)
    used = metered.used
    ledger = createLedger({ client: metered.client, tableName: under.tableName })
    for (const id of ids) await ledger.putElectrode(words(id, siteId), { nowIso: NOW })
    await ledger.putCalibration({ instrumentId: 'I-7', calibratedOn: '1995-01-01', accuracyPercent: 2 })
    await ledger.markDue(ids, { stamp: 's', nowIso: NOW })
    await compare(siteId)
    const entries = ids.flatMap((id) => Array.from({ length: PRIOR }, (_, n) => survey(id, n)))
    backfill = await spent(async () => {
      const store = createChunkStore({ ledger, books: createBooksReader(ledger), clock, newId })
      const chunk = entries.map((s, place) => ({
        ...{ kind: 'survey' as const, survey: s, firstRow: place + 2, lastRow: place + 2, place },
      }))
      const { upload: done } = await store(upload(siteId), chunk)
      expect(done.surveysAccepted).toBe(ELECTRODES * PRIOR)
      await ledger.checkpointUpload(done, [])
      await compare(siteId)
    })
  }, 180_000)

  it('of a backfill is at most 3 write and 1 read unit a survey', () => {
    const surveys = ELECTRODES * PRIOR
    expect(backfill.write / surveys).toBeLessThanOrEqual(3)
    expect(backfill.read / surveys).toBeLessThanOrEqual(1)
  })

  it('handed in singly is at most 6 write and 8 read units, of which comparing reads at most 6', async () => {
    const fresh = survey(ids[4]!, PRIOR)
    const desk = createDesk({ ledger, compareQueue: { send: async () => {} }, clock, newId })
    const posted = await spent(async () => {
      expect((await desk.handIn(fresh, { via: 'form', by: 'local:field' })).kind).toBe('stored')
    })
    const compared = await spent(() =>
      compare(siteId, [{ electrodeId: ids[4]!, surveyRef: fresh.surveyRef }]),
    )
    expect(compared.read).toBeLessThanOrEqual(6)
    expect(posted.read + compared.read).toBeLessThanOrEqual(8)
    expect(posted.write + compared.write).toBeLessThanOrEqual(6)
    // It has been judged, and by a comparison that had all twenty before it.
    const [known] = await ledger.compared([
      { siteId, electrodeId: ids[4]!, surveyRef: fresh.surveyRef, receivedAt: NOW },
    ])
    expect(known).toBe(true)
  })

  it('is nothing to compare for a message that comes twice', async () => {
    const again = await spent(() =>
      compare(siteId, [{ electrodeId: ids[4]!, surveyRef: `S-${ids[4]}-${PRIOR}` }]),
    )
    expect(again.write).toBe(0)
  })

  it('does not grow with the fleet', async () => {
    for (let i = 0; i < 60; i++)
      await ledger.putElectrode(electrode(`other-${PRIOR}-${i}`, { siteId: `other ${i % 5}` }), {
        nowIso: NOW,
      })
    const fresh = survey(ids[5]!, PRIOR)
    const desk = createDesk({ ledger, compareQueue: { send: async () => {} }, clock, newId })
    const all = await spent(async () => {
      await desk.handIn(fresh, { via: 'form', by: 'local:field' })
      await compare(siteId, [{ electrodeId: ids[5]!, surveyRef: fresh.surveyRef }])
    })
    expect(all.read).toBeLessThanOrEqual(8)
    expect(all.write).toBeLessThanOrEqual(6)
  })
})
