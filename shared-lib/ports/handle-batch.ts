import { correlated } from './correlation.ts'
import type { QueueEvent, QueueRecord, QueueResponse } from './queue.ts'

/** Where handlers say what went wrong; one JSON line an entry, no personal data. */
export type Log = (entry: {
  level: 'info' | 'warn' | 'error'
  message: string
  [key: string]: unknown
}) => void

/**
 * Runs a batch one record after another and answers with those that failed, so that only they come back.
 * FIFO: at the first failure it stops there and returns the rest of that group too, because a later message of a group must not
 * overtake an earlier one. A body that is not JSON fails like any other and ends in the dead-letter queue, where a person sees it.
 */
export async function handleBatch(
  event: QueueEvent,
  handleOne: (body: unknown, record: QueueRecord) => Promise<void>,
  log: Log,
): Promise<QueueResponse> {
  const failed: { itemIdentifier: string }[] = []
  const stoppedGroups = new Set<string>()
  for (const record of event.Records) {
    const group = record.attributes.MessageGroupId
    if (group !== undefined && stoppedGroups.has(group)) {
      failed.push({ itemIdentifier: record.messageId })
      continue
    }
    const id = submissionOf(record)
    try {
      await correlated(id, () => handleOne(JSON.parse(record.body), record))
    } catch (error) {
      correlated(id, () =>
        log({
          level: 'error',
          message: 'a message failed',
          messageId: record.messageId,
          error: describe(error),
        }),
      )
      failed.push({ itemIdentifier: record.messageId })
      if (group !== undefined) stoppedGroups.add(group)
    }
  }
  return { batchItemFailures: failed }
}

/** The id of the submission that a message goes back to; its own where it carries none, as one sent by hand. */
export const submissionOf = (record: QueueRecord): string =>
  record.messageAttributes?.correlationId?.stringValue ?? record.messageId

/** The error's own words and place, cut to a size that fits a log line. */
export function describe(error: unknown): string {
  return String(error instanceof Error ? (error.stack ?? error.message) : error).slice(0, 2000)
}
