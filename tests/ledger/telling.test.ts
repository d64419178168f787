import { describe, expect, it } from 'vitest'
import { untold } from './examples.ts'
import { ledgerUnderTest } from './ledger-under-test.ts'

const under = ledgerUnderTest()
const told = { messageId: '<m@example.org>', atIso: '2026-05-04T10:20:00Z' }

describe('telling', () => {
  it('tells each recipient of a finding once', async () => {
    const { ledger } = under
    const [a, b] = [untold('a@example.org', 'f1'), untold('b@example.org', 'f1')]
    await ledger.addUntold([a, b, a])
    expect(await ledger.listUntold('a@example.org')).toEqual([a])
    await ledger.markTold([a], told)
    await ledger.addUntold([a])
    expect(await ledger.listUntold('a@example.org')).toEqual([])
    expect(await ledger.listUntold('b@example.org')).toEqual([b])
    expect(await ledger.wasTold('a@example.org', ['f1', 'f2'])).toEqual(new Set(['f1']))
    expect(await ledger.wasTold('b@example.org', ['f1'])).toEqual(new Set())
  })

  it('keeps the time since which a finding waits when it is added again', async () => {
    const { ledger } = under
    await ledger.addUntold([untold('c@example.org', 'f1', { queuedAtMs: 100 })])
    await ledger.addUntold([untold('c@example.org', 'f1', { queuedAtMs: 900 })])
    expect((await ledger.listUntold('c@example.org')).map((u) => u.queuedAtMs)).toEqual([100])
  })

  it('lets what waits become urgent, and never less urgent', async () => {
    const { ledger } = under
    const queued = (urgent: boolean) => untold('d@example.org', 'f1', { urgent })
    await ledger.addUntold([queued(false)])
    await ledger.addUntold([queued(true)])
    await ledger.addUntold([queued(false)])
    expect((await ledger.listUntold('d@example.org')).map((u) => u.urgent)).toEqual([true])
  })

  it('tells once more when a finding told as a warning has become urgent, and not again after that', async () => {
    const { ledger } = under
    const [calm, urgent] = [false, true].map((u) => untold('e@example.org', 'f1', { urgent: u })) as [
      never,
      never,
    ]
    await ledger.addUntold([calm])
    await ledger.markTold([calm], told)
    await ledger.addUntold([urgent])
    expect(await ledger.listUntold('e@example.org')).toEqual([urgent])
    await ledger.markTold([urgent], told)
    await ledger.addUntold([urgent])
    await ledger.addUntold([calm])
    expect(await ledger.listUntold('e@example.org')).toEqual([])
  })

  it('names every recipient who waits, once, and none who does not', async () => {
    const { ledger } = under
    for (const r of ['b@example.org', 'c@example.org', 'd@example.org'])
      await ledger.markTold(await ledger.listUntold(r), told)
    const waiting = ['o#1@example.org', 'o@example.org', 'oo@example.org', 'o%23@example.org']
    for (const r of waiting) await ledger.addUntold([untold(r, 'f1'), untold(r, 'f2'), untold(r, 'f3')])
    expect(await ledger.listRecipientsWithUntold()).toEqual(waiting.toSorted())
  })

  it('holds a backfill of thousands', async () => {
    const { ledger } = under
    const many = Array.from({ length: 1200 }, (_, i) => untold('z@example.org', `f${i}`, { queuedAtMs: i }))
    await ledger.addUntold(many)
    expect(await ledger.listUntold('z@example.org')).toEqual(many)
    await ledger.markTold(many.slice(0, 1000), told)
    expect(await ledger.listUntold('z@example.org')).toEqual(many.slice(1000))
  })
})
