import * as z from 'zod/mini'
import type { Leases } from '../../shared-lib/ledger/leases.ts'
import type { Clock } from '../../shared-lib/ports/clock.ts'
import { correlated } from '../../shared-lib/ports/correlation.ts'
import { submissionOf } from '../../shared-lib/ports/handle-batch.ts'
import type { Queue, QueueHandler, QueueRecord, QueueResponse } from '../../shared-lib/ports/queue.ts'

export interface OneHandDeps {
  leases: Leases
  notifyQueue: Queue
  clock: Clock
  newId(): string
  /** Longer than one call may take: a hand that died gives its lease back by this. */
  leaseS: number
}

/** Somebody else is at it: look again after this. */
const LOOK_AGAIN_S = 20
const message = z.object({ recipient: z.string() })

/**
 * One hand at a time for one engineer, however many run at once: two would tell the same news twice. A message that finds the
 * engineer taken is sent again for later, since the hand at work may have read its list already.
 */
export function oneHand(notify: QueueHandler, deps: OneHandDeps): QueueHandler {
  const { leases, clock } = deps

  async function handle(record: QueueRecord): Promise<QueueResponse> {
    const recipient = recipientOf(record)
    if (recipient === null) return notify({ Records: [record] })
    const name = `notify ${recipient}`
    const holder = deps.newId()
    const nowMs = clock.nowMs()
    if (!(await leases.take(name, holder, { nowMs, untilMs: nowMs + deps.leaseS * 1000 }))) {
      await deps.notifyQueue.send([{ body: { recipient }, delayS: LOOK_AGAIN_S }])
      return { batchItemFailures: [] }
    }
    try {
      return await notify({ Records: [record] })
    } finally {
      await leases.release(name, holder)
    }
  }

  return async (event) => {
    const failed: { itemIdentifier: string }[] = []
    for (const record of event.Records) {
      const { batchItemFailures } = await correlated(submissionOf(record), () => handle(record))
      failed.push(...batchItemFailures)
    }
    return { batchItemFailures: failed }
  }
}

/** Null for a body that notify itself has to refuse. */
function recipientOf(record: QueueRecord): string | null {
  try {
    return message.parse(JSON.parse(record.body)).recipient
  } catch {
    return null
  }
}
