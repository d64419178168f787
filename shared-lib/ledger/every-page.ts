import type { Page } from './kept/page.ts'

/**
 * All pages of a list, one after the other, each read when it is asked for. `read` is given what names the page after the one before,
 * nothing for the first; null where there is no such page ends it.
 */
export async function* everyPage<T>(
  read: (from: { cursor?: string }) => Promise<Page<T> | null>,
): AsyncGenerator<T[]> {
  for (let cursor: string | null | undefined; cursor !== null; ) {
    const page: Page<T> | null = await read(cursor === undefined ? {} : { cursor })
    if (!page) return
    yield page.items
    cursor = page.next
  }
}
