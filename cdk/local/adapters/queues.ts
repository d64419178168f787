import type { Clock } from '../../../shared-lib/ports/clock.ts'
import { type DurableQueue, durableQueue } from './durable-queue.ts'
import { openQueueStore } from './queue-store.ts'

/** The queues of one machine, all in one file. */
export interface OpenQueues {
  queue(name: string, kind: { fifo: boolean }): DurableQueue
  close(): void
}

export function openQueues({ path, clock }: { path: string; clock: Clock }): OpenQueues {
  const store = openQueueStore(path)
  return {
    queue: (name, { fifo }) => durableQueue(store, { name, fifo, clock }),
    close: store.close,
  }
}
