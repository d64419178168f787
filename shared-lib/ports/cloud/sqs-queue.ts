import { setTimeout as sleep } from 'node:timers/promises'
import { SendMessageBatchCommand, type SendMessageBatchRequestEntry, SQSClient } from '@aws-sdk/client-sqs'
import { correlationId } from '../correlation.ts'
import type { OutgoingMessage, Queue } from '../queue.ts'

/** SQS's limits on one batch. */
const MOST_MESSAGES = 10
const MOST_BYTES = 256 * 1024
const ATTEMPTS = 6

/**
 * An SQS queue, standard or FIFO (its address ends with `.fifo`). Resolves when SQS has every message; what it refuses for the
 * moment is sent again, what it refuses for good throws.
 */
export function sqsQueue(url: string, client = new SQSClient()): Queue {
  async function sendBatch(entries: SendMessageBatchRequestEntry[]): Promise<void> {
    let left = entries
    for (let attempt = 1; left.length > 0; attempt++) {
      const { Failed = [] } = await client.send(new SendMessageBatchCommand({ QueueUrl: url, Entries: left }))
      const forGood = Failed.find((f) => f.SenderFault)
      if (forGood) throw new Error(`SQS refuses a message: ${forGood.Code}.`)
      if (Failed.length > 0 && attempt === ATTEMPTS)
        throw new Error(`SQS did not take ${Failed.length} messages in ${ATTEMPTS} attempts.`)
      const again = new Set(Failed.map((f) => f.Id))
      left = left.filter((entry) => again.has(entry.Id))
      if (left.length > 0) await sleep(Math.random() * 50 * 2 ** attempt)
    }
  }

  return {
    async send(messages) {
      for (const batch of batchesOf(messages)) await sendBatch(batch)
    },
  }
}

/** Entries in order, cut where a batch would have too many messages or bytes. */
function batchesOf(messages: readonly OutgoingMessage[]): SendMessageBatchRequestEntry[][] {
  const id = correlationId()
  const batches: SendMessageBatchRequestEntry[][] = []
  let bytes = Number.POSITIVE_INFINITY
  for (const message of messages) {
    const MessageBody = JSON.stringify(message.body)
    const size = Buffer.byteLength(MessageBody) + 200
    if (bytes + size > MOST_BYTES || batches.at(-1)!.length === MOST_MESSAGES) {
      batches.push([])
      bytes = 0
    }
    bytes += size
    const batch = batches.at(-1)!
    batch.push({
      Id: String(batch.length),
      MessageBody,
      ...(message.groupId === undefined ? {} : { MessageGroupId: message.groupId }),
      ...(message.deduplicationId === undefined ? {} : { MessageDeduplicationId: message.deduplicationId }),
      ...(message.delayS === undefined ? {} : { DelaySeconds: message.delayS }),
      ...(id === undefined
        ? {}
        : { MessageAttributes: { correlationId: { DataType: 'String', StringValue: id } } }),
    })
  }
  return batches
}
