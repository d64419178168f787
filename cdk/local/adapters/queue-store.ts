import { DatabaseSync } from 'node:sqlite'

/** Message rows: waiting or in flight (`dead` 0), or out of tries (`dead` 1). `receipt` is set while a message is in flight. */
const SCHEMA = `
CREATE TABLE IF NOT EXISTS messages (
  seq INTEGER PRIMARY KEY AUTOINCREMENT,
  id TEXT NOT NULL,
  queue TEXT NOT NULL,
  body TEXT NOT NULL,
  group_id TEXT,
  sent_ms INTEGER NOT NULL,
  visible_ms INTEGER NOT NULL,
  receives INTEGER NOT NULL DEFAULT 0,
  receipt TEXT,
  dead INTEGER NOT NULL DEFAULT 0,
  last_error TEXT
) STRICT;
CREATE INDEX IF NOT EXISTS in_order ON messages (queue, dead, seq);
CREATE INDEX IF NOT EXISTS by_time ON messages (queue, dead, visible_ms);
CREATE INDEX IF NOT EXISTS by_group ON messages (queue, dead, group_id, visible_ms);
CREATE INDEX IF NOT EXISTS in_flight ON messages (receipt) WHERE receipt IS NOT NULL;
CREATE TABLE IF NOT EXISTS sent (
  queue TEXT NOT NULL,
  deduplication_id TEXT NOT NULL,
  sent_ms INTEGER NOT NULL,
  PRIMARY KEY (queue, deduplication_id)
) STRICT, WITHOUT ROWID;
PRAGMA user_version = 1;
`
const KNOWN_VERSIONS = [0, 1]

export interface QueueStore {
  db: DatabaseSync
  /** Runs `work` as one durable step: all of it or nothing, and with the system when it returns. */
  inOneStep<T>(work: () => T): T
  close(): void
}

/** The file that all queues of one machine share. Throws when a newer program has written it. */
export function openQueueStore(path: string): QueueStore {
  const db = new DatabaseSync(path)
  // Written to the system at each step, as the table does: safe from kill -9. A power cut may cost the last steps of either; the
  // sweep at the next start sends again what the table says is still to do.
  db.exec('PRAGMA journal_mode = WAL; PRAGMA synchronous = NORMAL; PRAGMA busy_timeout = 5000')
  const version = Number(db.prepare('PRAGMA user_version').get()?.user_version)
  if (!KNOWN_VERSIONS.includes(version)) {
    db.close()
    throw new Error(`${path} was written by a newer program (queue format ${version}).`)
  }
  db.exec(SCHEMA)
  return {
    db,
    inOneStep(work) {
      db.exec('BEGIN IMMEDIATE')
      try {
        const result = work()
        db.exec('COMMIT')
        return result
      } catch (error) {
        db.exec('ROLLBACK')
        throw error
      }
    },
    close: () => db.close(),
  }
}
