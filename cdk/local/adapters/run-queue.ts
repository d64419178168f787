import { describe, type Log } from '../../../shared-lib/ports/handle-batch.ts'
import type { QueueHandler } from '../../../shared-lib/ports/queue.ts'
import type { DurableQueue, ReceivedBatch } from './durable-queue.ts'

export interface RunQueue {
  queue: DurableQueue
  handler: QueueHandler
  /** Messages handed to the handler at once. */
  batchSize: number
  /** Batches at work at the same time. */
  concurrency: number
  /** How long a failed message stays away, s. A batch at work is kept hidden for as long as it takes. */
  visibilityS: number
  maxReceives: number
  log: Log
  /** Asked before batches are taken: resolves when it may begin. What comes in meanwhile is taken together. */
  myTurn?(): Promise<void>
}

/** With nothing to wait for, look again this often: another process may have sent a dead letter back. */
const LOOK_AGAIN_MS = 5000

/**
 * Feeds a queue to its handler as Lambda's event source does: SQS-shaped batches, partial batch responses, a throw or a response
 * that makes no sense fails the whole batch. First gives back what a crash left in flight. Sleeps until there is something to do.
 */
export function runQueue(run: RunQueue): { stop(): Promise<void> } {
  const { queue, handler, log } = run
  const visibilityMs = run.visibilityS * 1000
  const atWork = new Map<string, Promise<void>>()
  let timer: NodeJS.Timeout | undefined
  let stopped = false
  let woken = false

  const released = queue.releaseInFlight()
  if (released > 0)
    log({ level: 'info', message: 'messages in flight given back', queue: queue.name, released })

  /** Many news in one go are one look. */
  const wake = () => {
    if (woken || stopped) return
    woken = true
    setImmediate(async () => {
      await run.myTurn?.()
      woken = false
      look()
    })
  }
  const stopListening = queue.onNews(wake)

  const keepHidden = () => {
    for (const receipt of atWork.keys()) queue.extend(receipt, visibilityMs)
  }

  function look(): void {
    clearTimeout(timer)
    if (stopped) return
    try {
      // Asked before taking: what becomes visible in between is looked for once more rather than overlooked.
      const soonMs = queue.msUntilVisible() ?? LOOK_AGAIN_MS
      while (atWork.size < run.concurrency) {
        // A batch at work never becomes visible under its handler, however late this look comes.
        keepHidden()
        const batch = queue.receive({ max: run.batchSize, visibilityMs, maxReceives: run.maxReceives })
        if (!batch) break
        const work = handle(batch).finally(() => {
          atWork.delete(batch.receipt)
          wake()
        })
        atWork.set(batch.receipt, work)
      }
      keepHidden()
      timer = setTimeout(
        wake,
        Math.min(soonMs, atWork.size > 0 ? visibilityMs / 2 : LOOK_AGAIN_MS, LOOK_AGAIN_MS),
      )
    } catch (error) {
      log({
        level: 'error',
        message: 'the queue could not be read',
        queue: queue.name,
        error: describe(error),
      })
      timer = setTimeout(wake, LOOK_AGAIN_MS)
    }
  }

  async function handle({ receipt, messages }: ReceivedBatch): Promise<void> {
    try {
      const { failedIds, error } = await failures(handler, messages)
      queue.done(
        receipt,
        messages.map((m) => m.id).filter((id) => !failedIds.has(id)),
      )
      queue.failed(receipt, [...failedIds], {
        visibilityMs,
        maxReceives: run.maxReceives,
        ...(error === undefined ? {} : { error }),
      })
      if (failedIds.size > 0)
        log({ level: 'warn', message: 'messages failed', queue: queue.name, failed: failedIds.size, error })
    } catch (error) {
      // The queue's own file failed: the batch becomes visible again by itself.
      log({
        level: 'error',
        message: 'the queue could not be written',
        queue: queue.name,
        error: describe(error),
      })
    }
  }

  wake()
  return {
    /** Takes no more batches and waits for those at work. */
    async stop() {
      stopped = true
      stopListening()
      clearTimeout(timer)
      await Promise.all(atWork.values())
    },
  }
}

async function failures(
  handler: QueueHandler,
  messages: ReceivedBatch['messages'],
): Promise<{ failedIds: Set<string>; error?: string }> {
  const all = new Set(messages.map((m) => m.id))
  try {
    const response = await handler({
      Records: messages.map((m) => ({
        messageId: m.id,
        body: m.body,
        attributes: {
          ApproximateReceiveCount: String(m.receives),
          ...(m.groupId === null ? {} : { MessageGroupId: m.groupId }),
        },
      })),
    })
    const failedIds = new Set((response?.batchItemFailures ?? []).map((f) => f.itemIdentifier))
    const unknown = [...failedIds].filter((id) => !all.has(id))
    if (unknown.length > 0)
      return { failedIds: all, error: 'the response names a message that was not in the batch' }
    return { failedIds }
  } catch (error) {
    return { failedIds: all, error: describe(error) }
  }
}
