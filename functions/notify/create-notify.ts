import * as z from 'zod'
import type { FindingItem, Ledger, Untold } from '../../shared-lib/ledger/ledger.ts'
import type { Clock } from '../../shared-lib/ports/clock.ts'
import { handleBatch, type Log } from '../../shared-lib/ports/handle-batch.ts'
import type { Mail } from '../../shared-lib/ports/mail.ts'
import type { QueueHandler } from '../../shared-lib/ports/queue.ts'
import { composeMail, type MailSettings } from './compose-mail.ts'

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
  }
}

const message = z.object({ recipient: z.string() })
/** An entry whose finding is not there yet is younger than this while compare is still writing. */
const COMPARE_MAY_TAKE_MS = 10 * 60_000

/**
 * notify: what an engineer has not been told yet -> mail. Each urgent finding alone and at once; all others together, when no more
 * have come for the hold time (it serves as undo and as grouping), or when the oldest has waited long enough.
 */
export function createNotify(deps: NotifyDeps): QueueHandler {
  const { ledger, clock, settings } = deps

  async function send(recipient: string, told: Untold[], findings: FindingItem[], urgent: boolean) {
    const mail = composeMail(recipient, findings, told, { urgent, atMs: clock.nowMs() }, settings)
    await deps.mail.send(mail)
    await ledger.markTold(told, { messageId: mail.messageId, atIso: new Date(clock.nowMs()).toISOString() })
    deps.log({ level: 'info', message: 'told', findings: findings.length, urgent })
  }

  async function notify(recipient: string): Promise<void> {
    const waiting = await ledger.listUntold(recipient)
    const nowMs = clock.nowMs()
    const live: { entry: Untold; finding: FindingItem }[] = []
    const over: Untold[] = []
    for (const entry of waiting) {
      // Read just before sending: what was decided or settled in the meantime is not told.
      const finding = await ledger.getFinding(entry.findingId)
      if (finding?.state === 'open') live.push({ entry, finding })
      else if (finding || nowMs - entry.queuedAtMs > COMPARE_MAY_TAKE_MS) over.push(entry)
    }
    if (over.length > 0)
      await ledger.markTold(over, {
        messageId: 'none:closed-before-telling',
        atIso: new Date(nowMs).toISOString(),
      })

    for (const { entry, finding } of live.filter((l) => l.entry.urgent))
      await send(recipient, [entry], [finding], true)

    const rest = live.filter((l) => !l.entry.urgent)
    if (rest.length === 0) return
    const times = rest.map((l) => l.entry.queuedAtMs)
    const quietMs = nowMs - Math.max(...times)
    const waitedMs = nowMs - Math.min(...times)
    // More is still coming: each later entry brings a message of its own, so this one may go.
    if (quietMs < settings.mailHoldS * 1000 && waitedMs < settings.longestHoldS * 1000) return
    await send(
      recipient,
      rest.map((l) => l.entry),
      rest.map((l) => l.finding),
      false,
    )
  }

  return (event) => handleBatch(event, async (body) => notify(message.parse(body).recipient), deps.log)
}
