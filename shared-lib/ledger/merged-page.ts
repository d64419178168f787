import { pageLimit, readCursor, writeCursor } from './cursor.ts'
import type { Page, PageRequest } from './kept/page.ts'
import type { Row } from './rows.ts'
import { INDEX_ATTRIBUTES, type IndexName } from './table.ts'
import type { TableAccess } from './table-access.ts'

/** Text in the order of its UTF-8 bytes, as the table sorts. */
export const compareBytes = (a: string, b: string): number => Buffer.compare(Buffer.from(a), Buffer.from(b))

export interface MergedList<T> {
  /** Names the list in cursors: the same words for the same question. */
  list: string
  index: IndexName
  partitions: string[]
  descending?: boolean
  /** Only sort keys below this one. */
  below?: string
  /** Turns index rows into items, in order; null for one that is gone or has changed since the index was written. */
  resolve(rows: Row[]): Promise<(T | null)[]>
}

/**
 * One page of a list that is spread over several partitions of an index, in order of the sort key over all of them. The cursor is
 * the last sort key given out (each ends with an id, so they are unique): nothing is kept between pages, and what is added or
 * removed in the meantime neither repeats nor skips the rest.
 */
export async function mergedPage<T>(
  table: TableAccess,
  q: PageRequest,
  merged: MergedList<T>,
): Promise<Page<T>> {
  const limit = pageLimit(q)
  const after = readCursor(merged.list, q.cursor)
  const fetchSize = Math.ceil((limit + 1) / merged.partitions.length) + 4
  const streams = merged.partitions.map((p) => partitionStream(table, merged, p, after, fetchSize))
  await Promise.all(streams.map((s) => s.fill()))

  const items: T[] = []
  let last: string | null = null
  for (;;) {
    const rows: Row[] = []
    while (items.length + rows.length < limit) {
      const taken = await takeFirst(streams, merged)
      if (!taken) break
      rows.push(taken.row)
      last = taken.sortKey
    }
    if (rows.length === 0) break
    for (const item of await merged.resolve(rows)) if (item !== null) items.push(item)
    if (items.length >= limit) break
  }
  let more = false
  for (const s of streams) if (!more && (await s.head())) more = true
  return { items, next: more && last !== null ? writeCursor(merged.list, last) : null }
}

interface Head {
  row: Row
  sortKey: string
}
/** One partition, read ahead a little at a time. */
interface Stream {
  fill(): Promise<void>
  head(): Promise<Head | null>
  shift(): void
}

function partitionStream<T>(
  table: TableAccess,
  merged: MergedList<T>,
  partition: string,
  start: string | null,
  size: number,
): Stream {
  const sortName = INDEX_ATTRIBUTES[merged.index][1]
  const { descending = false, below } = merged
  let buffer: Head[] = []
  let position = start
  let ended = false

  const fill = async () => {
    const range = position === null ? {} : descending ? { before: position } : { after: position }
    const { rows, more } = await table.query({
      partition,
      index: merged.index,
      descending,
      limit: size,
      ...range,
    })
    ended = !more
    for (const r of rows) {
      const sortKey = String(r[sortName])
      position = sortKey
      if (below !== undefined && compareBytes(sortKey, below) >= 0) {
        ended = true
        break
      }
      buffer.push({ row: r, sortKey })
    }
  }
  return {
    fill,
    async head() {
      while (buffer.length === 0 && !ended) await fill()
      return buffer[0] ?? null
    },
    shift() {
      buffer = buffer.slice(1)
    },
  }
}

async function takeFirst<T>(streams: Stream[], merged: MergedList<T>): Promise<Head | null> {
  const heads = await Promise.all(streams.map(async (stream) => ({ stream, head: await stream.head() })))
  const direction = merged.descending ? -1 : 1
  const first = heads
    .flatMap(({ stream, head }) => (head ? [{ stream, head }] : []))
    .reduce<{ stream: Stream; head: Head } | null>(
      (best, h) => (best && direction * compareBytes(h.head.sortKey, best.head.sortKey) >= 0 ? best : h),
      null,
    )
  first?.stream.shift()
  return first?.head ?? null
}

/** One page of a list that is small enough to be in memory, sorted by `sortKey` already. */
export function memoryPage<T>(
  q: PageRequest,
  list: string,
  sorted: readonly T[],
  sortKey: (t: T) => string,
): Page<T> {
  const limit = pageLimit(q)
  const after = readCursor(list, q.cursor)
  const rest = after === null ? sorted : sorted.filter((t) => compareBytes(sortKey(t), after) > 0)
  const items = rest.slice(0, limit)
  const last = items.at(-1)
  return { items, next: rest.length > limit && last ? writeCursor(list, sortKey(last)) : null }
}
