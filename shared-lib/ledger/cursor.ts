import type { PageRequest } from './kept/page.ts'
import { MAX_ID_BYTES } from './keys.ts'

const DEFAULT_PAGE = 50
const MAX_PAGE = 1000

/** The page size asked for, kept within 1 to 1,000; 50 when none or no number. */
export function pageLimit(q: PageRequest): number {
  const n = Math.trunc(q.limit ?? DEFAULT_PAGE)
  return Number.isFinite(n) ? Math.min(MAX_PAGE, Math.max(1, n)) : DEFAULT_PAGE
}

/** A place in a sorted list, as text for a link. `list` names the list, so that a cursor of another one is not taken. */
export function writeCursor(list: string, sortKey: string): string {
  return Buffer.from(JSON.stringify([list, sortKey])).toString('base64url')
}

/**
 * The sort key in a cursor of this list, or null: no cursor, a damaged one or one of another list means the first page. A cursor
 * gives no rights: it only says after which sort key to go on in a list the caller may read anyway.
 */
export function readCursor(list: string, cursor: string | undefined): string | null {
  if (!cursor) return null
  try {
    const [of, sortKey] = JSON.parse(Buffer.from(cursor, 'base64url').toString()) as unknown[]
    if (of !== list || typeof sortKey !== 'string' || !sortKey.isWellFormed()) return null
    return sortKey.length > 0 && Buffer.byteLength(sortKey) <= 4 * MAX_ID_BYTES ? sortKey : null
  } catch {
    return null
  }
}
