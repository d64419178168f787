import { describe, expect, it } from 'vitest'
import type { DurableQueue } from '../../cdk/local/adapters/durable-queue.ts'
import { handClock, queueFolder } from './queue-folder.ts'

const take = { max: 10, visibilityMs: 30_000, maxReceives: 3 }
const names = (q: DurableQueue, max = 10) =>
  q.receive({ ...take, max })?.messages.map((m) => JSON.parse(m.body).n) ?? []
const message = (n: number, groupId: string) => ({ body: { n }, groupId, deduplicationId: `${groupId} ${n}` })

function standard() {
  const clock = handClock()
  const folder = queueFolder(clock)
  return { clock, folder, queue: folder.queues.queue('intake', { fifo: false }) }
}
function fifo() {
  const clock = handClock()
  const folder = queueFolder(clock)
  return { clock, folder, queue: folder.queues.queue('compare', { fifo: true }) }
}

describe('a standard queue', () => {
  it('hides what was received until it is done or its time is over', async () => {
    const { queue, clock } = standard()
    await queue.send([{ body: { n: 1 } }, { body: { n: 2 } }])
    const batch = queue.receive({ ...take, max: 1 })!
    expect(names(queue)).toEqual([2])
    clock.move(29_999)
    expect(names(queue)).toEqual([])
    clock.move(1)
    const again = queue.receive(take)!
    expect(again.messages.map((m) => m.receives)).toEqual([2, 2])
    // The first receipt is out of force: what it says changes nothing.
    queue.done(batch.receipt, [batch.messages[0]!.id])
    expect(queue.depth()).toBe(2)
    queue.done(
      again.receipt,
      again.messages.map((m) => m.id),
    )
    expect(queue.depth()).toBe(0)
    expect(queue.oldestAgeMs()).toBe(0)
  })

  it('delivers a delayed message when its time has come', async () => {
    const { queue, clock } = standard()
    await queue.send([{ body: { n: 1 }, delayS: 30 }, { body: { n: 2 } }])
    expect(names(queue)).toEqual([2])
    expect(queue.msUntilVisible()).toBe(30_000)
    clock.move(30_000)
    expect(names(queue)).toContain(1)
    expect(queue.oldestAgeMs()).toBe(30_000)
  })

  it('lays a message with the dead letters after its last try, with the last error, and can send it again', async () => {
    const { queue, clock } = standard()
    await queue.send([{ body: { n: 1 } }])
    const ids: string[] = []
    for (let receive = 1; receive <= 3; receive++) {
      const { receipt, messages } = queue.receive(take)!
      expect(messages[0]?.receives).toBe(receive)
      ids.push(messages[0]!.id)
      queue.failed(receipt, [messages[0]!.id], { ...take, error: `try ${receive}` })
      clock.move(30_000)
    }
    expect(queue.depth()).toBe(0)
    expect(queue.receive(take)).toBeNull()
    expect(queue.deadLetters()).toMatchObject([{ body: '{"n":1}', receives: 3, lastError: 'try 3' }])
    expect(queue.redrive(['not this one'])).toBe(0)
    expect(queue.redrive()).toBe(1)
    const { messages } = queue.receive(take)!
    expect(messages).toMatchObject([{ body: '{"n":1}', receives: 1 }])
    expect(ids).not.toContain(messages[0]?.id)
    expect(queue.deadLetters()).toEqual([])
  })

  it('lays a message with the dead letters too when its receiver never answers', async () => {
    const { queue, clock } = standard()
    await queue.send([{ body: { n: 1 } }, { body: { n: 2 }, delayS: 100 }])
    for (let receive = 1; receive <= 3; receive++) {
      expect(names(queue)).toEqual([1])
      clock.move(30_000)
    }
    clock.move(30_000)
    expect(names(queue)).toEqual([2])
    expect(queue.deadLetters().map((d) => d.body)).toEqual(['{"n":1}'])
  })

  it('keeps a batch hidden for as long as it is extended', async () => {
    const { queue, clock } = standard()
    await queue.send([{ body: { n: 1 } }])
    const { receipt } = queue.receive(take)!
    clock.move(29_000)
    queue.extend(receipt, 30_000)
    clock.move(29_000)
    expect(names(queue)).toEqual([])
    clock.move(1_000)
    expect(names(queue)).toEqual([1])
  })

  it('is apart from the other queues of the file', async () => {
    const { queue, folder } = standard()
    await queue.send([{ body: { n: 1 } }])
    const other = folder.queues.queue('notify', { fifo: false })
    expect(other.depth()).toBe(0)
    expect(names(other)).toEqual([])
  })
})

describe('a FIFO queue', () => {
  it('hands out a group in order, and nothing more of it while any of it is out', async () => {
    const { queue } = fifo()
    await queue.send([message(1, 'a'), message(2, 'a'), message(3, 'b'), message(4, 'a')])
    const first = queue.receive({ ...take, max: 2 })!
    expect(first.messages.map((m) => [JSON.parse(m.body).n, m.groupId])).toEqual([
      [1, 'a'],
      [2, 'a'],
    ])
    expect(names(queue)).toEqual([3])
    queue.done(first.receipt, [first.messages[0]!.id])
    expect(names(queue)).toEqual([])
    queue.done(first.receipt, [first.messages[1]!.id])
    expect(names(queue)).toEqual([4])
  })

  it('holds a group up behind a failed message until that is visible again', async () => {
    const { queue, clock } = fifo()
    await queue.send([message(1, 'a'), message(2, 'a'), message(3, 'b')])
    const { receipt, messages } = queue.receive({ ...take, max: 2 })!
    queue.failed(
      receipt,
      messages.map((m) => m.id),
      take,
    )
    expect(names(queue)).toEqual([3])
    clock.move(29_999)
    expect(names(queue)).toEqual([])
    clock.move(1)
    expect(names(queue).slice(0, 2)).toEqual([1, 2])
  })

  it('goes on with a group when its head has gone to the dead letters', async () => {
    const { queue, clock } = fifo()
    await queue.send([message(1, 'a'), message(2, 'a')])
    for (let i = 0; i < 3; i++) {
      const { receipt, messages } = queue.receive({ ...take, max: 1 })!
      queue.failed(receipt, [messages[0]!.id], take)
      clock.move(30_000)
    }
    expect(names(queue)).toEqual([2])
  })

  it('drops a repeat within five minutes, also after the first is done and after a restart', async () => {
    const { queue, clock, folder } = fifo()
    await queue.send([message(1, 'a'), message(1, 'a')])
    const { receipt, messages } = queue.receive(take)!
    expect(messages).toHaveLength(1)
    queue.done(receipt, [messages[0]!.id])
    await queue.send([message(1, 'a')])
    expect(queue.depth()).toBe(0)
    const reopened = folder.reopen().queue('compare', { fifo: true })
    clock.move(5 * 60_000 - 1)
    await reopened.send([message(1, 'a')])
    expect(reopened.depth()).toBe(0)
    clock.move(1)
    await reopened.send([message(1, 'a')])
    expect(reopened.depth()).toBe(1)
  })
})

describe('a restart', () => {
  it('gives back what was in flight at once, in order, and does not count that receive', async () => {
    const { queue, folder, clock } = fifo()
    await queue.send([message(1, 'a'), message(2, 'a'), message(3, 'b')])
    queue.receive({ ...take, max: 2 })
    const failedOnce = queue.receive({ ...take, max: 1 })!
    queue.failed(failedOnce.receipt, [failedOnce.messages[0]!.id], take)
    const reopened = folder.reopen().queue('compare', { fifo: true })
    expect(reopened.receive(take)).toBeNull()
    expect(reopened.releaseInFlight()).toBe(2)
    expect(reopened.receive(take)!.messages.map((m) => [m.body, m.receives])).toEqual([
      ['{"n":1}', 1],
      ['{"n":2}', 1],
    ])
    // The failed one waits out its time, and its receive counts.
    clock.move(30_000)
    expect(reopened.receive(take)!.messages.find((m) => m.body === '{"n":3}')?.receives).toBe(2)
  })
})

describe('a message that SQS would refuse', () => {
  const cases = [
    ['a FIFO message without a group', true, { body: {}, deduplicationId: 'x' }],
    ['a FIFO message without a deduplication id', true, { body: {}, groupId: 'x' }],
    ['a delayed FIFO message', true, { body: {}, groupId: 'x', deduplicationId: 'x', delayS: 1 }],
    ['a deduplication id on a standard queue', false, { body: {}, deduplicationId: 'x' }],
    ['a delay of more than 15 minutes', false, { body: {}, delayS: 901 }],
    ['a negative delay', false, { body: {}, delayS: -1 }],
    ['a delay that is no number', false, { body: {}, delayS: Number.NaN }],
    ['a body that is too large', false, { body: { x: 'x'.repeat(300_000) } }],
  ] as const
  it.each(cases)('is refused here too, and nothing of its batch is sent: %s', async (_what, isFifo, bad) => {
    const { queue } = isFifo ? fifo() : standard()
    const good = isFifo ? message(1, 'a') : { body: { n: 1 } }
    await expect(queue.send([good, bad])).rejects.toThrow(TypeError)
    expect(queue.depth()).toBe(0)
  })
})
