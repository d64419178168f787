import * as fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import type { DurableQueue, ReceivedBatch } from '../../cdk/local/adapters/durable-queue.ts'
import { measured, SEED, sized } from '../faults/measured.ts'
import { handClock, queueFolder } from './queue-folder.ts'

/** A FIFO queue in the plainest words: a list in order, each with the time it is visible again, its tries and its receipt. */
interface ModelMessage {
  n: number
  group: string
  visibleMs: number
  receives: number
  receipt: string | null
  /** As the queue names it; known once received. */
  id?: string
}
interface Model {
  list: ModelMessage[]
  dead: number[]
  sentAtMs: Map<string, number>
}
interface Real {
  queue: DurableQueue
  reopen(): void
  clock: ReturnType<typeof handClock>
  batches: ReceivedBatch[]
}

const VISIBILITY_MS = 1000
const MAX_RECEIVES = 2
const numberOf = (m: { body: string }): number => JSON.parse(m.body).n

function modelReceive(model: Model, nowMs: number, max: number): ModelMessage[] {
  for (;;) {
    const blocked = new Set(model.list.filter((m) => m.visibleMs > nowMs).map((m) => m.group))
    const rows = model.list.filter((m) => !blocked.has(m.group)).slice(0, max)
    const spent = rows.filter((m) => m.receives >= MAX_RECEIVES)
    if (spent.length === 0) return rows
    for (const m of spent) model.dead.push(m.n)
    model.list = model.list.filter((m) => !spent.includes(m))
  }
}

type Step = fc.Command<Model, Real>
const always = () => true

const send = (n: number, group: string): Step => ({
  check: always,
  run: (model, real) => {
    void real.queue.send([{ body: { n }, groupId: group, deduplicationId: `${n}` }])
    const nowMs = real.clock.nowMs()
    const before = model.sentAtMs.get(`${n}`)
    if (before !== undefined && nowMs - before < 300_000) return
    model.sentAtMs.set(`${n}`, nowMs)
    model.list.push({ n, group, visibleMs: nowMs, receives: 0, receipt: null })
  },
  toString: () => `send ${n} in ${group}`,
})
const receive = (max: number): Step => ({
  check: always,
  run: (model, real) => {
    const batch = real.queue.receive({ max, visibilityMs: VISIBILITY_MS, maxReceives: MAX_RECEIVES })
    const expected = modelReceive(model, real.clock.nowMs(), max)
    for (const [i, m] of expected.entries()) {
      m.id = batch?.messages[i]?.id ?? 'missing'
      m.receives++
      m.visibleMs = real.clock.nowMs() + VISIBILITY_MS
      m.receipt = batch?.receipt ?? null
    }
    expect((batch?.messages ?? []).map((m) => [numberOf(m), m.groupId, m.receives])).toEqual(
      expected.map((m) => [m.n, m.group, m.receives]),
    )
    if (batch) real.batches.push(batch)
  },
  toString: () => `receive ${max}`,
})
/** Answers some earlier batch, perhaps one whose receipt is long out of force. */
const answer = (which: number, how: 'done' | 'failed', part: number): Step => ({
  check: always,
  run: (model, real) => {
    const batch = real.batches[which % Math.max(1, real.batches.length)]
    if (!batch) return
    const answered = batch.messages.slice(0, part)
    const ids = answered.map((m) => m.id)
    if (how === 'done') real.queue.done(batch.receipt, ids)
    else real.queue.failed(batch.receipt, ids, { visibilityMs: VISIBILITY_MS, maxReceives: MAX_RECEIVES })
    const mine = model.list.filter((m) => m.receipt === batch.receipt && answered.some((a) => a.id === m.id))
    for (const m of mine) {
      m.receipt = null
      if (how === 'failed' && m.receives < MAX_RECEIVES) m.visibleMs = real.clock.nowMs() + VISIBILITY_MS
      else model.list = model.list.filter((x) => x !== m)
      if (how === 'failed' && m.receives >= MAX_RECEIVES) model.dead.push(m.n)
    }
  },
  toString: () => `${how} ${part} of batch ${which}`,
})
const wait = (ms: number): Step => ({
  check: always,
  run: (_model, real) => real.clock.move(ms),
  toString: () => `wait ${ms} ms`,
})
const restart: Step = {
  check: always,
  run: (model, real) => {
    real.reopen()
    real.queue.releaseInFlight()
    for (const m of model.list.filter((x) => x.receipt !== null)) {
      m.receipt = null
      m.receives--
      m.visibleMs = real.clock.nowMs()
    }
  },
  toString: () => 'restart',
}

describe('a FIFO queue on disk', () => {
  it('does what a plain list in memory would do, whatever happens in whatever order', () => {
    const commands = fc.commands(
      [
        fc.tuple(fc.nat(12), fc.constantFrom('a', 'b', 'c')).map(([n, g]) => send(n, g)),
        fc.integer({ min: 1, max: 4 }).map(receive),
        fc
          .tuple(
            fc.nat(20),
            fc.constantFrom('done' as const, 'failed' as const),
            fc.integer({ min: 1, max: 4 }),
          )
          .map((a) => answer(...a)),
        fc.constantFrom(1, 300, 700, 1000, 300_000).map(wait),
        fc.constant(restart),
      ],
      { maxCommands: 60, size: 'max' },
    )
    const clock = handClock()
    const folder = queueFolder(clock)
    let run = 0
    const numRuns = sized(60, 1000)
    fc.assert(
      fc.property(commands, (steps) => {
        const name = `run ${run++}`
        const real: Real = {
          queue: folder.queues.queue(name, { fifo: true }),
          reopen() {
            real.queue = folder.reopen().queue(name, { fifo: true })
          },
          clock,
          batches: [],
        }
        const model: Model = { list: [], dead: [], sentAtMs: new Map() }
        fc.modelRun(() => ({ model, real }), steps)
        expect(real.queue.depth()).toBe(model.list.length)
        expect(real.queue.deadLetters().map(numberOf).toSorted()).toEqual(model.dead.toSorted())
      }),
      { numRuns, seed: SEED },
    )
    measured({
      what: 'model: the queue on disk beside a plain list, any commands and restarts',
      command: 'npm run test:faults',
      count: numRuns,
      bad: { differing: 0 },
      seed: SEED,
    })
  }, 600_000)
})
