import * as fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import type { Page, PageRequest } from '../../shared-lib/ledger/kept/page.ts'
import { assess, electrode, finding, NOW, upload } from './examples.ts'
import { ledgerUnderTest } from './ledger-under-test.ts'

const under = ledgerUnderTest()
const write = (id: string, change: object) => assess(under.ledger, id, change)

/** Follows `next` to the end and returns the pages. */
async function pages<T>(list: (q: PageRequest) => Promise<Page<T>>, limit: number): Promise<T[][]> {
  const all: T[][] = []
  let cursor: string | undefined
  do {
    const page = await list({ limit, ...(cursor ? { cursor } : {}) })
    all.push(page.items)
    cursor = page.next ?? undefined
  } while (cursor)
  return all
}

describe('a list over many shards', () => {
  const ids = Array.from({ length: 41 }, (_, i) => `LE-${String(i).padStart(2, '0')}`)

  it('gives each item once and in order, whatever the page size', async () => {
    const { ledger } = under
    for (const [i, id] of ids.entries()) {
      await ledger.putElectrode(electrode(id, { siteId: `L-${i % 3}` }), { nowIso: NOW })
      await write(id, { dueOn: `20${25 + (i % 3)}-0${1 + (i % 9)}-01` })
    }
    const due = ids
      .map((id, i) => ({ id, dueOn: `20${25 + (i % 3)}-0${1 + (i % 9)}-01`, site: `L-${i % 3}` }))
      .toSorted((a, b) => `${a.dueOn}${a.id}`.localeCompare(`${b.dueOn}${b.id}`))
    await fc.assert(
      fc.asyncProperty(fc.integer({ min: 1, max: 60 }), async (limit) => {
        const found = await pages((q) => ledger.listElectrodes(q), limit)
        expect(found.flat().map((r) => r.electrode.electrodeId)).toEqual(ids)
        expect(found.slice(0, -1).every((p) => p.length === limit)).toBe(true)
        const until = await pages((q) => ledger.listDue({ ...q, toMonth: '2026-04' }), limit)
        expect(until.flat().map((r) => r.electrode.electrodeId)).toEqual(
          due.filter((d) => d.dueOn <= '2026-04-30').map((d) => d.id),
        )
        const ofSite = await pages((q) => ledger.listDue({ ...q, toMonth: '2026-04', siteId: 'L-1' }), limit)
        expect(ofSite.flat().map((r) => r.electrode.electrodeId)).toEqual(
          due.filter((d) => d.dueOn <= '2026-04-30' && d.site === 'L-1').map((d) => d.id),
        )
      }),
      { numRuns: 8 },
    )
  })

  it('takes a damaged cursor, or one of another list, as the first page', async () => {
    const { ledger } = under
    const first = await ledger.listElectrodes({ limit: 5 })
    const ofSite = await ledger.listElectrodes({ limit: 5, siteId: 'L-0' })
    const bad = ['rubbish', '%%%', Buffer.from('[1,2]').toString('base64url'), 'x'.repeat(5000), ofSite.next!]
    for (const cursor of bad) expect(await ledger.listElectrodes({ limit: 5, cursor })).toEqual(first)
    for (const limit of [0, -3, Number.NaN, 0.5])
      expect((await ledger.listElectrodes({ limit })).items.length).toBeGreaterThan(0)
  })

  it('neither repeats nor skips the rest when items come and go between pages', async () => {
    const { ledger } = under
    const first = await ledger.listDue({ toMonth: '2026-12', limit: 7 })
    // One that was given out goes; one appears before the place of the cursor.
    await write(first.items[6]!.electrode.electrodeId, {})
    await write(first.items[0]!.electrode.electrodeId, { dueOn: '2020-01-01' })
    const second = await ledger.listDue({ toMonth: '2026-12', limit: 1000, cursor: first.next! })
    const seen = [...first.items, ...second.items].map((r) => r.electrode.electrodeId)
    expect(new Set(seen).size).toBe(seen.length)
    expect(seen).toHaveLength(ids.filter((_, i) => i % 3 < 2).length)
  })
})

describe('the review queue', () => {
  it('has the urgent first, then what has been open longest, over all and of a site', async () => {
    const { ledger } = under
    const all = Array.from({ length: 24 }, (_, i) =>
      finding(`Q-${i % 5}`, `ref ${i}`, {
        siteId: `Q${i % 2}`,
        severity: i % 7 === 0 ? 'urgent' : 'warning',
        openedAt: new Date(Date.UTC(2026, 0, 1 + ((i * 5) % 24))).toISOString(),
        state: i % 3 === 0 ? 'closed' : 'open',
      }),
    )
    for (let e = 0; e < 5; e++) {
      await ledger.putElectrode(electrode(`Q-${e}`), { nowIso: NOW })
      await write(`Q-${e}`, { putFindings: all.filter((f) => f.electrodeId === `Q-${e}`) })
    }
    const order = all.toSorted(
      (a, b) => a.severity.localeCompare(b.severity) || a.openedAt.localeCompare(b.openedAt),
    )
    const ids = (list: typeof all) => list.map((f) => f.surveyRef)
    const found = async (q: object, limit: number) =>
      ids((await pages((p) => ledger.listFindings({ ...p, ...q }), limit)).flat())
    for (const limit of [1, 4, 100]) {
      expect(await found({}, limit)).toEqual(ids(order.filter((f) => f.state === 'open')))
      expect(await found({ state: 'closed' }, limit)).toEqual(ids(order.filter((f) => f.state === 'closed')))
      expect(await found({ state: 'all' }, limit)).toEqual(ids(order))
      const ofSite = order.filter((f) => f.siteId === 'Q1')
      expect(await found({ state: 'all', siteId: 'Q1' }, limit)).toEqual(ids(ofSite))
      expect(await found({ siteId: 'Q1' }, limit)).toEqual(ids(ofSite.filter((f) => f.state === 'open')))
      const ofElectrode = order.filter((f) => f.electrodeId === 'Q-2')
      expect(await found({ state: 'all', electrodeId: 'Q-2' }, limit)).toEqual(ids(ofElectrode))
    }
    expect(await found({ electrodeId: 'Q-2', siteId: 'elsewhere', state: 'all' }, 10)).toEqual([])
  })
})

describe('the list of uploads', () => {
  it('has the newest first, over all and of a person', async () => {
    const { ledger } = under
    const all = Array.from({ length: 13 }, (_, i) =>
      upload(`U-${i}`, {
        by: `local:p${i % 2}`,
        receivedAt: new Date(Date.UTC(2026, 0, 1 + ((i * 5) % 13))).toISOString(),
      }),
    )
    for (const u of all) await ledger.putUpload(u)
    const newest = all.toSorted((a, b) => b.receivedAt.localeCompare(a.receivedAt))
    for (const limit of [1, 5, 50]) {
      expect((await pages((q) => ledger.listUploads(q), limit)).flat()).toEqual(newest)
      const mine = await pages((q) => ledger.listUploads({ ...q, by: 'local:p1' }), limit)
      expect(mine.flat()).toEqual(newest.filter((u) => u.by === 'local:p1'))
    }
  })
})
