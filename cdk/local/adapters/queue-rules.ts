import type { OutgoingMessage } from '../../../shared-lib/ports/queue.ts'

/** SQS's own limits, kept here too: what one machine takes, the cloud must take as well. */
export const DEDUPLICATION_MS = 5 * 60_000
const MAX_DELAY_S = 900
const MAX_BODY_BYTES = 256 * 1024

/** The message's body as text. Throws a TypeError for a message that SQS would refuse: always the sender's mistake. */
export function messageBody(message: OutgoingMessage, fifo: boolean): string {
  if (fifo && (!message.groupId || !message.deduplicationId))
    throw new TypeError('A message for a FIFO queue needs a groupId and a deduplicationId.')
  if (fifo && message.delayS !== undefined)
    throw new TypeError('A single message of a FIFO queue cannot be delayed.')
  if (!fifo && message.deduplicationId !== undefined)
    throw new TypeError('Only a FIFO queue drops repeats; this queue takes no deduplicationId.')
  const delayS = message.delayS ?? 0
  if (!(delayS >= 0 && delayS <= MAX_DELAY_S))
    throw new TypeError(`delayS is ${delayS}; it takes 0 to ${MAX_DELAY_S} seconds.`)
  const body = JSON.stringify(message.body)
  if (Buffer.byteLength(body) > MAX_BODY_BYTES)
    throw new TypeError(`A message may have ${MAX_BODY_BYTES} bytes; this has ${Buffer.byteLength(body)}.`)
  return body
}
