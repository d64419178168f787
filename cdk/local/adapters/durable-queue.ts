import { randomUUID } from 'node:crypto'
import type { Clock } from '../../../shared-lib/ports/clock.ts'
import type { OutgoingMessage, Queue } from '../../../shared-lib/ports/queue.ts'
import { DEDUPLICATION_MS, messageBody } from './queue-rules.ts'
import type { QueueStore } from './queue-store.ts'

interface ReceivedMessage {
  id: string
  body: string
  groupId: string | null
  /** How often it has been received, this time included. */
  receives: number
}
export interface ReceivedBatch {
  receipt: string
  messages: ReceivedMessage[]
}
interface DeadLetter {
  id: string
  body: string
  groupId: string | null
  receives: number
  sentAtMs: number
  lastError: string | null
}

/** A queue on disk that behaves as SQS does, standard or FIFO. Everything that returns has been written. */
export interface DurableQueue extends Queue {
  readonly name: string
  readonly fifo: boolean
  /**
   * Takes up to `max` visible messages in order and hides them for `visibilityMs`; null when there is none. FIFO: nothing of a group
   * of which a message is hidden. A message received `maxReceives` times already goes to the dead letters instead.
   */
  receive(take: { max: number; visibilityMs: number; maxReceives: number }): ReceivedBatch | null
  /** Removes handled messages. A receipt that is not in force any more does nothing. */
  done(receipt: string, ids: readonly string[]): void
  /** Leaves messages hidden for `visibilityMs` from now on, or lays them with the dead letters when they are out of tries. */
  failed(
    receipt: string,
    ids: readonly string[],
    how: { visibilityMs: number; maxReceives: number; error?: string },
  ): void
  /** Hides a batch still at work for `visibilityMs` from now on; writes only when less than half of that is left. */
  extend(receipt: string, visibilityMs: number): void
  /** After a crash: what was in flight is visible again, and that receive is not counted. Returns how many. */
  releaseInFlight(): number
  /** How long until the next hidden message becomes visible; null when none is hidden. */
  msUntilVisible(): number | null
  /** Calls back in this process after each change that may make a message visible. Returns the way to stop it. */
  onNews(listener: () => void): () => void
  /** Messages not done yet: visible, hidden and in flight, without the dead letters. */
  depth(): number
  /** Age of the oldest of them; 0 when there is none. */
  oldestAgeMs(): number
  deadLetters(): DeadLetter[]
  /** Sends dead letters (all, or these) to the end of the queue again, as new messages. Returns how many. */
  redrive(ids?: readonly string[]): number
}

type MessageRow = { seq: number; id: string; body: string; group_id: string | null; receives: number }

export function durableQueue(
  store: QueueStore,
  { name, fifo, clock }: { name: string; fifo: boolean; clock: Clock },
): DurableQueue {
  const { db, inOneStep } = store
  const listeners = new Set<() => void>()
  const tellNews = () => {
    for (const listener of listeners) listener()
  }

  const insert = db.prepare(
    'INSERT INTO messages (id, queue, body, group_id, sent_ms, visible_ms) VALUES (?, ?, ?, ?, ?, ?)',
  )
  const forgetOld = db.prepare('DELETE FROM sent WHERE queue = ? AND sent_ms <= ?')
  const remember = db.prepare(
    'INSERT OR IGNORE INTO sent (queue, deduplication_id, sent_ms) VALUES (?, ?, ?)',
  )
  const visible = db.prepare(`
    SELECT seq, id, body, group_id, receives FROM messages AS m
    WHERE queue = ?1 AND dead = 0 AND visible_ms <= ?2 ${
      fifo
        ? `AND NOT EXISTS (SELECT 1 FROM messages AS hidden WHERE hidden.queue = ?1 AND hidden.dead = 0
             AND hidden.group_id = m.group_id AND hidden.visible_ms > ?2)`
        : ''
    } ORDER BY seq LIMIT ?3`)
  const take = db.prepare('UPDATE messages SET receipt = ?, visible_ms = ?, receives = ? WHERE seq = ?')
  const bury = db.prepare('UPDATE messages SET dead = 1, receipt = NULL WHERE seq = ?')
  const remove = db.prepare('DELETE FROM messages WHERE receipt = ? AND id = ?')
  const fail = db.prepare(`
    UPDATE messages SET receipt = NULL, visible_ms = ?, last_error = ?, dead = receives >= ? WHERE receipt = ? AND id = ?`)
  const keep = db.prepare('UPDATE messages SET visible_ms = ? WHERE receipt = ? AND visible_ms < ?')
  const count = db.prepare(
    'SELECT count(*) AS n, min(sent_ms) AS oldest FROM messages WHERE queue = ? AND dead = 0',
  )

  return {
    name,
    fifo,

    async send(messages: OutgoingMessage[]) {
      if (messages.length === 0) return
      const bodies = messages.map((m) => messageBody(m, fifo))
      const nowMs = clock.nowMs()
      inOneStep(() => {
        if (fifo) forgetOld.run(name, nowMs - DEDUPLICATION_MS)
        messages.forEach((m, i) => {
          if (fifo && remember.run(name, m.deduplicationId!, nowMs).changes === 0) return
          const visibleMs = Math.ceil(nowMs + (m.delayS ?? 0) * 1000)
          insert.run(randomUUID(), name, bodies[i]!, m.groupId ?? null, nowMs, visibleMs)
        })
      })
      tellNews()
    },

    receive({ max, visibilityMs, maxReceives }) {
      const nowMs = clock.nowMs()
      // Looking costs no write: an empty queue leaves the disk alone.
      if (visible.all(name, nowMs, 1).length === 0) return null
      return inOneStep(() => {
        for (;;) {
          const rows = visible.all(name, nowMs, max) as MessageRow[]
          if (rows.length === 0) return null
          const spent = rows.filter((r) => r.receives >= maxReceives)
          if (spent.length > 0) {
            for (const r of spent) bury.run(r.seq)
            continue
          }
          const receipt = randomUUID()
          const messages = rows.map((r) => {
            take.run(receipt, nowMs + visibilityMs, r.receives + 1, r.seq)
            return { id: r.id, body: r.body, groupId: r.group_id, receives: r.receives + 1 }
          })
          return { receipt, messages }
        }
      })
    },

    done(receipt, ids) {
      if (ids.length === 0) return
      inOneStep(() => {
        for (const id of ids) remove.run(receipt, id)
      })
      tellNews()
    },

    failed(receipt, ids, { visibilityMs, maxReceives, error }) {
      if (ids.length === 0) return
      const visibleMs = clock.nowMs() + visibilityMs
      inOneStep(() => {
        for (const id of ids) fail.run(visibleMs, error ?? null, maxReceives, receipt, id)
      })
      tellNews()
    },

    extend(receipt, visibilityMs) {
      const nowMs = clock.nowMs()
      keep.run(nowMs + visibilityMs, receipt, nowMs + visibilityMs / 2)
    },

    releaseInFlight() {
      const released = db
        .prepare(
          'UPDATE messages SET receipt = NULL, visible_ms = ?, receives = receives - 1 WHERE queue = ? AND receipt IS NOT NULL',
        )
        .run(clock.nowMs(), name)
      tellNews()
      return Number(released.changes)
    },

    msUntilVisible() {
      const nowMs = clock.nowMs()
      const at = db
        .prepare('SELECT min(visible_ms) AS at FROM messages WHERE queue = ? AND dead = 0 AND visible_ms > ?')
        .get(name, nowMs)?.at as number | null | undefined
      return at == null ? null : at - nowMs
    },

    onNews(listener) {
      listeners.add(listener)
      return () => listeners.delete(listener)
    },

    depth: () => Number(count.get(name)?.n ?? 0),
    oldestAgeMs() {
      const oldest = count.get(name)?.oldest as number | null | undefined
      return oldest == null ? 0 : Math.max(0, clock.nowMs() - oldest)
    },

    deadLetters() {
      const rows = db.prepare('SELECT * FROM messages WHERE queue = ? AND dead = 1 ORDER BY seq').all(name)
      return rows.map((r) => ({
        id: String(r.id),
        body: String(r.body),
        groupId: r.group_id as string | null,
        receives: Number(r.receives),
        sentAtMs: Number(r.sent_ms),
        lastError: r.last_error as string | null,
      }))
    },

    redrive(ids) {
      const nowMs = clock.nowMs()
      const moved = inOneStep(() => {
        const rows = db.prepare('SELECT * FROM messages WHERE queue = ? AND dead = 1 ORDER BY seq').all(name)
        const wanted = rows.filter((r) => !ids || ids.includes(String(r.id)))
        for (const r of wanted) {
          db.prepare('DELETE FROM messages WHERE seq = ?').run(Number(r.seq))
          insert.run(randomUUID(), name, String(r.body), r.group_id as string | null, nowMs, nowMs)
        }
        return wanted.length
      })
      tellNews()
      return moved
    },
  }
}
