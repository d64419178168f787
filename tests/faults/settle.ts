import { type House, QUEUE_NAMES } from './house.ts'

/** What the driver may do to deliveries; each is asked once a batch. */
export interface Delivery {
  /** The queue that is looked at first. */
  first(of: number): number
  /** The handler has done its work and the queue never hears of it: the batch comes again. */
  acknowledgementLost(): boolean
  /** How far the time moves on beside what is waited for, ms; negative when a clock is set back. */
  clockJumpMs(): number
}

export const orderlyDelivery: Delivery = {
  first: () => 0,
  acknowledgementLost: () => false,
  clockJumpMs: () => 0,
}

const VISIBILITY_MS = 30_000
const MAX_RECEIVES = 5
const MOST_ROUNDS = 4000

/** One batch of one queue, handled as the event source does it. False when nothing is visible. */
export async function deliverOne(house: House, delivery: Delivery): Promise<boolean> {
  const start = delivery.first(QUEUE_NAMES.length)
  for (let i = 0; i < QUEUE_NAMES.length; i++) {
    const name = QUEUE_NAMES[(start + i) % QUEUE_NAMES.length]!
    const queue = house.queues[name]
    const batch = queue.receive({ max: 5, visibilityMs: VISIBILITY_MS, maxReceives: MAX_RECEIVES })
    if (!batch) continue
    const records = batch.messages.map((m) => ({
      messageId: m.id,
      body: m.body,
      attributes: {
        ApproximateReceiveCount: String(m.receives),
        ...(m.groupId === null ? {} : { MessageGroupId: m.groupId }),
      },
    }))
    const ids = batch.messages.map((m) => m.id)
    const failed = await house.handlers[name]({ Records: records }).then(
      (answer) => new Set(answer.batchItemFailures.map((f) => f.itemIdentifier)),
      () => new Set(ids),
    )
    if (!delivery.acknowledgementLost())
      queue.done(
        batch.receipt,
        ids.filter((id) => !failed.has(id)),
      )
    queue.failed(batch.receipt, [...failed], { visibilityMs: VISIBILITY_MS, maxReceives: MAX_RECEIVES })
    return true
  }
  return false
}

/** Nothing waits: no message, no mark, nothing untold, no upload half-way. Asked of the world itself, undisturbed. */
async function quiet(watcher: House): Promise<boolean> {
  if (QUEUE_NAMES.some((name) => watcher.queues[name].depth() > 0)) return false
  const { ledger } = watcher
  if ((await ledger.listMarks()).length > 0) return false
  const recent = await ledger.recentSurveys('2000-01-01T00:00:00Z', '2100-01-01T00:00:00Z')
  if ((await ledger.compared(recent)).includes(false)) return false
  if ((await ledger.listRecipientsWithUntold()).length > 0) return false
  const { items } = await ledger.listUploads({ limit: 200 })
  return items.every((u) => u.state === 'done' || u.state === 'failed')
}

async function whatWaits(watcher: House): Promise<string> {
  const { ledger, queues } = watcher
  const { items } = await ledger.listUploads({ limit: 200 })
  return JSON.stringify({
    depths: QUEUE_NAMES.map((name) => [name, queues[name].depth(), queues[name].deadLetters().length]),
    marks: await ledger.listMarks(),
    untold: await ledger.listRecipientsWithUntold(),
    uploads: items.filter((u) => u.state !== 'done'),
  })
}

/**
 * Drives a house until nothing waits any more: batches, time, the sweep of every minute, and dead letters sent back by the person
 * who is told of them. `watcher` is a house over the same world that nothing disturbs. Throws when it does not come to rest.
 */
export async function settle(
  house: House,
  watcher: House,
  delivery: Delivery = orderlyDelivery,
): Promise<{ rounds: number; deadLetters: number }> {
  let deadLetters = 0
  for (let round = 1; round <= MOST_ROUNDS; round++) {
    if (await deliverOne(house, delivery)) {
      if (round % 10 === 0) house.world.clock.advance(delivery.clockJumpMs())
      continue
    }
    const waits = QUEUE_NAMES.map((name) => house.queues[name].msUntilVisible()).filter((ms) => ms !== null)
    house.world.clock.advance(Math.max(0, Math.min(60_000, ...waits) + delivery.clockJumpMs()))
    if (waits.length > 0) continue
    if (await quiet(watcher)) return { rounds: round, deadLetters }
    for (const name of QUEUE_NAMES) deadLetters += house.queues[name].redrive()
    house.world.clock.advance(150_000)
    await house.sweep(120).catch(() => {})
  }
  throw new Error(`not at rest after ${MOST_ROUNDS} rounds: ${await whatWaits(watcher)}`)
}

/** A start after a crash: what was in flight is given back, and the sweep looks for what lost its message. */
export async function startAgain(house: House): Promise<void> {
  for (const name of QUEUE_NAMES) house.queues[name].releaseInFlight()
  await house.sweep(0).catch(() => {})
}
