import { expect, it } from 'vitest'
import { escalate, isUnanswered, nextToTell } from '../../shared-lib/ledger/escalation.ts'
import type { FindingItem } from '../../shared-lib/ledger/kept/finding.ts'
import type { OutgoingMessage } from '../../shared-lib/ports/queue.ts'
import { decision, electrode, finding, NOW } from './examples.ts'
import { ledgerUnderTest } from './ledger-under-test.ts'

const under = ledgerUnderTest()
const HOUR_MS = 3_600_000
const [ENGINEER, DEPUTY, DUTY] = ['engineer@example.org', 'deputy@example.org', 'duty@example.org']
const settings = { urgentAfterH: 2, warningAfterDays: 7, fallbackEmail: DUTY, oldAfterDays: 30 }
const openedMs = Date.parse(NOW)
const after = (hours: number) => openedMs + hours * HOUR_MS

const urgent = finding('ES-1', 'S-1', { severity: 'urgent', responsibleEmail: ENGINEER })
const warning = finding('ES-1', 'S-2', { responsibleEmail: ENGINEER })
const told = (f: FindingItem, hours: number, deputyEmail?: string) =>
  nextToTell(f, deputyEmail === undefined ? {} : { deputyEmail }, after(hours), settings)

it('asks the deputy after a while, and the duty address after as long again; without a deputy the duty address at once', () => {
  expect(told(urgent, 1.9, DEPUTY)).toEqual([])
  expect(told(urgent, 2, DEPUTY)).toEqual([DEPUTY])
  expect(told(urgent, 4, DEPUTY)).toEqual([DEPUTY, DUTY])
  expect(told(urgent, 2)).toEqual([DUTY])
  expect(told(warning, 7 * 24 - 1, DEPUTY)).toEqual([])
  expect(told(warning, 7 * 24, DEPUTY)).toEqual([DEPUTY])
})

it('asks nobody twice: who was told first is not who is told next, however the address is written', () => {
  expect(told(urgent, 9, 'Engineer@Example.org ')).toEqual([DUTY])
  expect(told({ ...urgent, responsibleEmail: DUTY }, 9, DUTY)).toEqual([])
})

it('takes a decision or somebody at it for an answer, and begins again when it was opened again', () => {
  const late = after(5)
  const with_ = (over: Partial<FindingItem>) => isUnanswered({ ...urgent, ...over }, late, settings)
  expect(with_({})).toBe(true)
  expect(with_({ ruling: decision(urgent, 'confirm', after(1)) })).toBe(false)
  expect(with_({ claim: { by: 'p', name: 'P', untilMs: late + 1 } })).toBe(false)
  expect(with_({ claim: { by: 'p', name: 'P', untilMs: late } })).toBe(true)
  expect(with_({ ruling: decision(urgent, 'reopen', after(4)) })).toBe(false)
  expect(with_({ ruling: decision(urgent, 'reopen', after(3)) })).toBe(true)
  expect(with_({ state: 'closed' })).toBe(false)
})

it('lets rest what came from earlier tests handed in late, what is only a notice, and what nobody answered in a month', () => {
  expect(isUnanswered({ ...warning, testedAt: '2025-05-01T09:00:00Z' }, after(8 * 24), settings)).toBe(false)
  expect(isUnanswered({ ...warning, severity: 'notice' }, after(8 * 24), settings)).toBe(false)
  expect(isUnanswered(urgent, after(31 * 24), settings)).toBe(false)
})

it('passes each on once, by a message and an entry that says who was told first', async () => {
  const { ledger } = under
  await ledger.putElectrode(electrode('ES-1', { deputyEmail: DEPUTY, responsibleEmail: ENGINEER }), {
    nowIso: NOW,
  })
  await ledger.putFindings([urgent, warning], [])
  const sent: OutgoingMessage[] = []
  const at = (hours: number, what: 'urgent' | 'warning') =>
    escalate(
      {
        ledger,
        notifyQueue: { send: async (m) => void sent.push(...m) },
        clock: { nowMs: () => after(hours) },
        settings,
      },
      what,
    )
  expect(await at(1, 'urgent')).toBe(0)
  expect(await at(3, 'urgent')).toBe(1)
  expect(sent.map((m) => m.body)).toEqual([{ recipient: DEPUTY }])
  const waiting = await ledger.listUntold(DEPUTY)
  expect(waiting).toMatchObject([
    { findingId: urgent.id, urgent: true, unanswered: { toldTo: ENGINEER, since: NOW } },
  ])
  await ledger.markTold(waiting, { messageId: 'm@example.org', atIso: NOW })
  expect(await at(3.5, 'urgent')).toBe(0)
  expect(await ledger.listUntold(DEPUTY)).toEqual([])
  await at(8 * 24, 'warning')
  expect((await ledger.listUntold(DEPUTY)).map((u) => u.findingId)).toEqual([warning.id])
})
