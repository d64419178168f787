import type { Clock } from '../ports/clock.ts'
import type { Queue } from '../ports/queue.ts'
import type { Electrode } from '../survey/register.ts'
import { everyPage } from './every-page.ts'
import type { FindingItem } from './kept/finding.ts'
import type { Untold } from './kept/telling.ts'
import type { Ledger } from './ledger.ts'

/** When silence counts as no answer. House rules, no source. */
export interface EscalationSettings {
  /** An urgent finding without an answer goes to the next person after this, h. */
  urgentAfterH: number
  /** A warning, days. Notices wait in the queue. */
  warningAfterDays: number
  /** Who hears when nobody else answers. */
  fallbackEmail: string
  /** A survey handed in later than this after its test is old news, whose findings go to one digest and no further, days. */
  oldAfterDays: number
}

const HOUR_MS = 3_600_000
const DAY_MS = 24 * HOUR_MS
/** What nobody has answered in a month is a matter of the queue, not of more mail. */
const LONGEST_MS = 30 * DAY_MS

const same = (a: string, b: string) => a.trim().toLowerCase() === b.trim().toLowerCase()

/** How long a finding may go without an answer, ms; null: for as long as it likes. */
const patienceMs = (f: FindingItem, s: EscalationSettings): number | null =>
  f.severity === 'urgent'
    ? s.urgentAfterH * HOUR_MS
    : f.severity === 'warning'
      ? s.warningAfterDays * DAY_MS
      : null

/** Any decision is an answer, save one that opened the finding again. */
export const isAnswered = (f: FindingItem): boolean => f.ruling !== undefined && f.ruling.action !== 'reopen'

/**
 * Does a finding wait for an answer longer than it should? Somebody who says now that they are at it is an answer too, while that lasts.
 */
export function isUnanswered(f: FindingItem, nowMs: number, s: EscalationSettings): boolean {
  const patience = patienceMs(f, s)
  if (f.state !== 'open' || patience === null) return false
  if (f.claim && f.claim.untilMs > nowMs) return false
  const openedMs = Date.parse(f.openedAt)
  if (f.severity !== 'urgent' && openedMs - Date.parse(f.testedAt) > s.oldAfterDays * DAY_MS) return false
  if (isAnswered(f)) return false
  const waitedMs = nowMs - (f.ruling?.decidedAtMs ?? openedMs)
  return waitedMs >= patience && waitedMs < LONGEST_MS
}

/**
 * Who is told next of a finding that nobody answered: the deputy that the register names, and after the same time once more the
 * address for what has no engineer. Never who was told first.
 */
export function nextToTell(
  f: FindingItem,
  { deputyEmail }: Pick<Electrode, 'deputyEmail'>,
  nowMs: number,
  s: EscalationSettings,
): string[] {
  const patience = patienceMs(f, s)
  if (patience === null || !isUnanswered(f, nowMs, s)) return []
  const first = f.responsibleEmail ?? s.fallbackEmail
  const waitedMs = nowMs - (f.ruling?.decidedAtMs ?? Date.parse(f.openedAt))
  const deputy = deputyEmail?.trim() ? [deputyEmail] : []
  const all = deputy.length === 0 || waitedMs >= 2 * patience ? [...deputy, s.fallbackEmail] : deputy
  return all.filter((address, i) => !same(address, first) && all.findIndex((a) => same(a, address)) === i)
}

export interface EscalationDeps {
  ledger: Pick<Ledger, 'listFindings' | 'getElectrodes' | 'addUntold'>
  notifyQueue: Queue
  clock: Clock
  settings: EscalationSettings
}

/**
 * Tells the next person of what nobody has answered. `urgent` looks at urgent findings alone, which stand first in the queue; `warning`
 * goes through the open ones once. Nobody is told the same twice, so it may be repeated. Returns how many were passed on.
 */
export async function escalate(deps: EscalationDeps, what: 'urgent' | 'warning'): Promise<number> {
  const { ledger, clock, settings } = deps
  const nowMs = clock.nowMs()
  let passedOn = 0
  for await (const page of everyPage((from) => ledger.listFindings({ state: 'open', limit: 100, ...from }))) {
    const late = page.filter((f) => f.severity === what && isUnanswered(f, nowMs, settings))
    const news = await untoldOf(late)
    passedOn += await ledger.addUntold(news)
    for (const recipient of new Set(news.map((n) => n.recipient)))
      await deps.notifyQueue.send([{ body: { recipient } }])
    if (what === 'urgent' && page.some((f) => f.severity !== 'urgent')) break
  }
  return passedOn

  async function untoldOf(findings: readonly FindingItem[]): Promise<Untold[]> {
    if (findings.length === 0) return []
    const records = await ledger.getElectrodes([...new Set(findings.map((f) => f.electrodeId))])
    return findings.flatMap((f) =>
      nextToTell(f, records.get(f.electrodeId)?.electrode ?? {}, nowMs, settings).map((recipient) => ({
        recipient,
        findingId: f.id,
        electrodeId: f.electrodeId,
        siteId: f.siteId,
        urgent: f.severity === 'urgent',
        old: false,
        queuedAtMs: nowMs,
        unanswered: { toldTo: f.responsibleEmail ?? settings.fallbackEmail, since: f.openedAt },
      })),
    )
  }
}
