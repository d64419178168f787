import * as z from 'zod/mini'
import { isAnswered } from '../../shared-lib/ledger/escalation.ts'
import type { FindingItem } from '../../shared-lib/ledger/kept/finding.ts'
import type { Settled, Untold } from '../../shared-lib/ledger/kept/telling.ts'
import type { Ledger } from '../../shared-lib/ledger/ledger.ts'
import type { Clock } from '../../shared-lib/ports/clock.ts'
import { handleBatch, type Log } from '../../shared-lib/ports/handle-batch.ts'
import type { Mail } from '../../shared-lib/ports/mail.ts'
import type { QueueHandler } from '../../shared-lib/ports/queue.ts'
import { composeMail, type MailSettings } from './compose-mail.ts'
import { mayWrite, withMail } from './mail-budget.ts'
import { mayBeTold } from './mail-choice.ts'

export interface NotifyDeps {
  ledger: Ledger
  mail: Mail
  clock: Clock
  log: Log
  settings: MailSettings & {
    /** How long news waits for more before it is told, s. */
    mailHoldS: number
    /** However much news keeps coming, nothing waits longer than this, s. */
    longestHoldS: number
    /** Ordinary mails to one person in 24 hours at most; the rest waits for the next. Null: no bound. */
    mailsADay: number | null
  }
}

const message = z.object({ recipient: z.string() })
/** So many ends are told in one mail; the others with the next. */
const MOST_ENDED = 30
/** An entry whose finding is not there yet is younger than this while compare is still writing. */
const COMPARE_MAY_TAKE_MS = 10 * 60_000

/**
 * notify: what an engineer has not been told yet -> mail. Each urgent finding alone and at once; all others together, when no more
 * have come for the hold time (it serves as undo and as grouping), or when the oldest has waited long enough. Who has had the day's
 * mails gets the rest with the next: the sweep asks again. Each ordinary mail also says, once, how what was told before has ended.
 */
export function createNotify(deps: NotifyDeps): QueueHandler {
  const { ledger, clock, settings } = deps

  type Live = { entry: Untold; finding: FindingItem }

  async function send(
    recipient: string,
    live: Live[],
    urgent: boolean,
    settled: Settled[] = [],
  ): Promise<void> {
    const told = live.map((l) => l.entry)
    const findings = live.map((l) => l.finding)
    const mail = composeMail(recipient, findings, told, { urgent, atMs: clock.nowMs(), settled }, settings)
    await deps.mail.send(mail)
    await ledger.markTold(told, { messageId: mail.messageId, atIso: new Date(clock.nowMs()).toISOString() })
    deps.log({ level: 'info', message: 'told', findings: findings.length, urgent })
  }

  /** What is still open of these, read now; the rest is told to nobody. */
  async function stillOpen(entries: readonly Untold[]): Promise<Live[]> {
    const nowMs = clock.nowMs()
    const live: Live[] = []
    const over: Untold[] = []
    const findings = await ledger.getFindings(entries.map((e) => e.findingId))
    for (const entry of entries) {
      const finding = findings.get(entry.findingId)
      const answered = entry.unanswered !== undefined && finding !== undefined && isAnswered(finding)
      if (finding?.state === 'open' && !answered) live.push({ entry, finding })
      else if (finding || nowMs - entry.queuedAtMs > COMPARE_MAY_TAKE_MS) over.push(entry)
    }
    if (over.length > 0)
      await ledger.markTold(over, {
        messageId: 'none:closed-before-telling',
        atIso: new Date(nowMs).toISOString(),
      })
    return live
  }

  /** Nothing has waited for its longest time, and the newest not for the hold time. */
  function isComing(entries: readonly Untold[], nowMs: number): boolean {
    const times = entries.map((e) => e.queuedAtMs)
    const quietMs = nowMs - Math.max(...times)
    const waitedMs = nowMs - Math.min(...times)
    return quietMs < settings.mailHoldS * 1000 && waitedMs < settings.longestHoldS * 1000
  }

  async function notify(recipient: string): Promise<void> {
    const waiting = await ledger.listUntold(recipient)
    // Each is read right before its own mail: what was decided or settled while the one before was sent is not told.
    for (const entry of waiting.filter((w) => w.urgent))
      for (const live of await stillOpen([entry])) await send(recipient, [live], true)

    const ordinary = waiting.filter((w) => !w.urgent)
    const nowMs = clock.nowMs()
    // More is still coming: each later entry brings a message of its own, so this one may go.
    if (ordinary.length === 0 || isComing(ordinary, nowMs)) return
    const live = await stillOpen(mayBeTold(ordinary, await ledger.mailChoice(recipient), nowMs))
    if (live.length === 0) return
    const { mailsADay } = settings
    const sentAtMs = mailsADay === null ? [] : await ledger.mailTimes(recipient)
    if (mailsADay !== null && !mayWrite(sentAtMs, nowMs, mailsADay)) return
    const settled = (await ledger.settledSince(recipient)).slice(0, MOST_ENDED)
    await send(recipient, live, false, settled)
    if (mailsADay !== null) await ledger.putMailTimes(recipient, withMail(sentAtMs, nowMs))
    if (settled.length > 0)
      await ledger.markSettledTold(
        recipient,
        settled.map((s) => s.findingId),
      )
  }

  return (event) => handleBatch(event, async (body) => notify(message.parse(body).recipient), deps.log)
}
