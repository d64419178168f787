import { DatabaseSync } from 'node:sqlite'

/** The folder is in use by another process. */
export class FolderInUse extends Error {}

/**
 * Takes a file's lock for this process; the system gives it back when the process ends, however it ends, so no stale lock is ever
 * left behind. Returns the release. Throws `FolderInUse` when another holds it. (SQLite's lock: Node has none of its own.)
 */
export function lockFile(path: string): () => void {
  const db = new DatabaseSync(path)
  try {
    db.exec('PRAGMA locking_mode = EXCLUSIVE; BEGIN EXCLUSIVE')
  } catch (error) {
    db.close()
    throw new FolderInUse(`${path} is held by another process.`, { cause: error })
  }
  return () => db.close()
}
