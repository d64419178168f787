import { setTimeout as sleep } from 'node:timers/promises'
import { describe, expect, it, onTestFinished, vi } from 'vitest'
import type { DurableQueue } from '../../cdk/local/adapters/durable-queue.ts'
import { type RunQueue, runQueue } from '../../cdk/local/adapters/run-queue.ts'
import type { QueueEvent } from '../../shared-lib/ports/queue.ts'
import { queueFolder, realClock } from './queue-folder.ts'

const numbersOf = (event: QueueEvent): number[] => event.Records.map((r) => JSON.parse(r.body).n)
const nothingFailed = { batchItemFailures: [] }

function prepared(fifo: boolean) {
  const folder = queueFolder(realClock)
  const queue = folder.queues.queue('q', { fifo })
  const start = (run: Partial<RunQueue> & Pick<RunQueue, 'handler'>) => {
    const runner = runQueue({
      queue,
      batchSize: 10,
      concurrency: 4,
      visibilityS: 0.05,
      maxReceives: 3,
      log: () => {},
      ...run,
    })
    onTestFinished(() => runner.stop())
    return runner
  }
  return { folder, queue, start }
}
const empty = (queue: DurableQueue) =>
  vi.waitFor(() => expect(queue.depth()).toBe(0), { timeout: 5000, interval: 5 })

describe('feeding a handler', () => {
  it('hands over an event of the shape that Lambda hands over', async () => {
    const { queue, start } = prepared(true)
    const events: QueueEvent[] = []
    await queue.send([{ body: { n: 1 }, groupId: 'g', deduplicationId: '1' }])
    start({
      handler: async (event) => {
        events.push(event)
        return nothingFailed
      },
    })
    await empty(queue)
    expect(events).toEqual([
      {
        Records: [
          {
            messageId: expect.any(String),
            body: '{"n":1}',
            attributes: { ApproximateReceiveCount: '1', MessageGroupId: 'g' },
          },
        ],
      },
    ])
  })

  it('takes nothing before it is its turn, and then together what came in meanwhile', async () => {
    const { queue, start } = prepared(false)
    const batches: number[][] = []
    const turn = Promise.withResolvers<void>()
    start({
      myTurn: () => turn.promise,
      handler: async (event) => {
        batches.push(numbersOf(event))
        return nothingFailed
      },
    })
    for (const n of [1, 2, 3]) {
      await queue.send([{ body: { n } }])
      await new Promise(setImmediate)
    }
    expect(batches).toEqual([])
    turn.resolve()
    await empty(queue)
    expect(batches).toEqual([[1, 2, 3]])
  })

  it('brings back only what a partial response names', async () => {
    const { queue, start } = prepared(false)
    await queue.send([{ body: { n: 1 } }, { body: { n: 2 } }, { body: { n: 3 } }])
    const seen: number[][] = []
    start({
      handler: async (event) => {
        seen.push(numbersOf(event))
        const failed = event.Records.filter(
          (r) => JSON.parse(r.body).n === 2 && r.attributes.ApproximateReceiveCount === '1',
        )
        return { batchItemFailures: failed.map((r) => ({ itemIdentifier: r.messageId })) }
      },
    })
    await empty(queue)
    expect(seen).toEqual([[1, 2, 3], [2]])
    expect(queue.deadLetters()).toEqual([])
  })

  it('brings the whole batch back when the handler throws, and gives up after the last try', async () => {
    const { queue, start } = prepared(false)
    await queue.send([{ body: { n: 1 } }, { body: { n: 2 } }])
    let calls = 0
    start({
      handler: async () => {
        calls++
        throw new Error('no luck')
      },
    })
    await empty(queue)
    expect(calls).toBe(3)
    expect(queue.deadLetters().map((d) => [d.body, d.receives])).toEqual([
      ['{"n":1}', 3],
      ['{"n":2}', 3],
    ])
    expect(queue.deadLetters()[0]?.lastError).toContain('no luck')
  })

  it('brings the whole batch back when the response names a message that was not in it', async () => {
    const { queue, start } = prepared(false)
    await queue.send([{ body: { n: 1 } }])
    let calls = 0
    start({
      handler: async () => {
        calls++
        return calls === 1 ? { batchItemFailures: [{ itemIdentifier: 'stranger' }] } : nothingFailed
      },
    })
    await empty(queue)
    expect(calls).toBe(2)
  })

  it('never has two batches of one group at work, keeps their order, and works on groups side by side', async () => {
    const { queue, start } = prepared(true)
    const atWork = new Map<string, number>()
    const order = new Map<string, number[]>()
    let together = 0
    let most = 0
    start({
      batchSize: 2,
      handler: async (event) => {
        const groups = new Set(event.Records.map((r) => r.attributes.MessageGroupId!))
        for (const g of groups) {
          atWork.set(g, (atWork.get(g) ?? 0) + 1)
          expect(atWork.get(g)).toBe(1)
        }
        together++
        most = Math.max(most, together)
        await sleep(2)
        for (const r of event.Records) {
          const g = r.attributes.MessageGroupId!
          order.set(g, [...(order.get(g) ?? []), JSON.parse(r.body).n])
        }
        for (const g of groups) atWork.set(g, 0)
        together--
        return nothingFailed
      },
    })
    for (let n = 0; n < 60; n++)
      await queue.send([{ body: { n }, groupId: `g${n % 6}`, deduplicationId: String(n) }])
    await empty(queue)
    for (const [g, list] of order) expect(list, g).toEqual(list.toSorted((a, b) => a - b))
    expect([...order.values()].flat()).toHaveLength(60)
    expect(most).toBeGreaterThan(1)
    expect(queue.deadLetters()).toEqual([])
  })

  it('keeps a batch hidden for as long as the handler takes', async () => {
    const { queue, start } = prepared(false)
    await queue.send([{ body: { n: 1 } }])
    let calls = 0
    start({
      visibilityS: 0.1,
      handler: async () => {
        calls++
        await sleep(400)
        return nothingFailed
      },
    })
    await empty(queue)
    expect(calls).toBe(1)
  })

  it('hands a message over within milliseconds, and a delayed one when it is due', async () => {
    const { queue, start } = prepared(false)
    const tookMs: number[] = []
    start({
      handler: async (event) => {
        for (const r of event.Records) tookMs.push(performance.now() - JSON.parse(r.body).at)
        return nothingFailed
      },
    })
    await sleep(30)
    for (let i = 0; i < 20; i++) {
      await queue.send([{ body: { at: performance.now() } }])
      await empty(queue)
    }
    const median = tookMs.toSorted((a, b) => a - b)[10]!
    expect(median).toBeLessThan(50)
    tookMs.length = 0
    await queue.send([{ body: { at: performance.now() }, delayS: 0.2 }])
    await empty(queue)
    expect(tookMs[0]).toBeGreaterThanOrEqual(190)
    expect(tookMs[0]).toBeLessThan(1500)
  })

  it('stops after the batches at work, and leaves the rest for the next start', async () => {
    const { queue, folder, start } = prepared(false)
    await queue.send(Array.from({ length: 6 }, (_, n) => ({ body: { n } })))
    let finished = 0
    const runner = start({
      batchSize: 1,
      concurrency: 2,
      handler: async () => {
        await sleep(100)
        finished++
        return nothingFailed
      },
    })
    await sleep(40)
    await runner.stop()
    expect(finished).toBe(2)
    const rest = folder.reopen().queue('q', { fifo: false })
    expect(rest.depth()).toBe(4)
  })
})
