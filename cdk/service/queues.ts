import { Duration } from 'aws-cdk-lib'
import { DeduplicationScope, FifoThroughputLimit, Queue, QueueEncryption } from 'aws-cdk-lib/aws-sqs'
import type { Construct } from 'constructs'

/** How long each queue-fed function may take for a batch, s. */
export const TIMEOUT_S = { intake: 900, compare: 120, notify: 60, export: 300 } as const
export type QueueName = keyof typeof TIMEOUT_S

/** As on one machine: a message that failed this often needs a person. */
const MAX_RECEIVES = 5
/** SQS's longest. The age of a message goes on counting in the dead-letter queue, so both get it. */
const RETENTION = Duration.days(14)
/** AWS's advice for queues that feed Lambda: at least six times the function's timeout. */
const VISIBILITY_TIMES = 6

export interface QueuePair {
  queue: Queue
  deadLetters: Queue
}

/**
 * The queues, each with its dead letters. Compare is FIFO by site, in high-throughput mode: a site's electrodes are judged
 * together, so one hand at a time works on a site and any number of sites go side by side.
 */
export function createQueues(scope: Construct): Record<QueueName, QueuePair> {
  const pair = (name: QueueName, fifo: boolean): QueuePair => {
    const common = { encryption: QueueEncryption.SQS_MANAGED, enforceSSL: true, retentionPeriod: RETENTION }
    const deadLetters = new Queue(scope, `${name}-dead-letters`, { ...common, ...(fifo ? { fifo } : {}) })
    const queue = new Queue(scope, `${name}-queue`, {
      ...common,
      visibilityTimeout: Duration.seconds(VISIBILITY_TIMES * TIMEOUT_S[name]),
      deadLetterQueue: { queue: deadLetters, maxReceiveCount: MAX_RECEIVES },
      ...(fifo
        ? {
            fifo,
            deduplicationScope: DeduplicationScope.MESSAGE_GROUP,
            fifoThroughputLimit: FifoThroughputLimit.PER_MESSAGE_GROUP_ID,
          }
        : {}),
    })
    return { queue, deadLetters }
  }
  return {
    intake: pair('intake', false),
    compare: pair('compare', true),
    notify: pair('notify', false),
    export: pair('export', false),
  }
}
