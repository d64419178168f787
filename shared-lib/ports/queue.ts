/** The queue port: what senders see, and the SQS-shaped event that handlers get, on Lambda and on one machine alike. */

export interface OutgoingMessage {
  body: Record<string, unknown>
  /** FIFO queues only: messages of one group are handled one at a time, in order. */
  groupId?: string
  /** FIFO queues only: a second message with the same id within five minutes is dropped. */
  deduplicationId?: string
  /** Standard queues only, seconds, at most 900. */
  delayS?: number
}

export interface Queue {
  /** Resolves when every message is durable. */
  send(messages: OutgoingMessage[]): Promise<void>
}

/** The part of an SQS event record that handlers read. */
export interface QueueRecord {
  messageId: string
  body: string
  attributes: { ApproximateReceiveCount: string; MessageGroupId?: string }
  /** In the cloud: the id that ties together what one submission set off (correlation.ts). */
  messageAttributes?: { correlationId?: { stringValue?: string } }
}
export interface QueueEvent {
  Records: QueueRecord[]
}
/** Partial batch response: what is listed comes back after the visibility timeout, the rest is done. */
export interface QueueResponse {
  batchItemFailures: { itemIdentifier: string }[]
}
export type QueueHandler = (event: QueueEvent) => Promise<QueueResponse>
