import type { Page, PageRequest } from '../../shared-lib/ledger/kept/page.ts'
import type { Person } from '../../shared-lib/ports/identity.ts'

/** Reads of the store that one page may cost, so that a filter that keeps little does not read the whole fleet. */
const MOST_READS = 25

interface Place {
  /** Null = every site. */
  site: string | null
  inner?: string
}

function encode(place: Place): string {
  return Buffer.from(JSON.stringify([place.site, place.inner ?? null])).toString('base64url')
}

function decode(cursor: string): Place | null {
  try {
    const [site, inner] = JSON.parse(Buffer.from(cursor, 'base64url').toString()) as unknown[]
    if (site !== null && typeof site !== 'string') return null
    if (inner !== null && typeof inner !== 'string') return null
    return { site, ...(inner === null ? {} : { inner }) }
  } catch {
    return null
  }
}

export interface VisibleList<T> {
  /** One page of one site, or of all when `siteId` is absent. */
  list(q: PageRequest & { siteId?: string }): Promise<Page<T>>
  /** Narrows further what the person may see; the page is filled up from the store again. */
  keep?(items: T[]): Promise<T[]>
  /** Only this site; the caller has made sure that the person sees it. */
  siteId?: string
}

/** Null stands for every site at once. */
function sitesOf(person: Person, siteId: string | undefined): (string | null)[] {
  if (siteId !== undefined) return [siteId]
  return person.sites === '*' ? [null] : [...new Set(person.sites)].sort()
}

/**
 * One page of a list, narrowed to the person's sites where it is stored: site after site, never by leaving rows out of a page of
 * everything. A page may be short while `next` is not null. Null when the cursor is not one of this list for this person.
 */
export async function visiblePage<T>(
  person: Person,
  page: { limit: number; cursor?: string },
  from: VisibleList<T>,
): Promise<Page<T> | null> {
  const sites = sitesOf(person, from.siteId)
  if (sites.length === 0) return { items: [], next: null }
  const place: Place | null = page.cursor === undefined ? { site: sites[0]! } : decode(page.cursor)
  let at = place ? sites.indexOf(place.site) : -1
  if (!place || at < 0) return null
  let inner = place.inner
  const items: T[] = []
  for (let reads = 0; reads < MOST_READS && items.length < page.limit; reads++) {
    const siteId = sites[at] ?? null
    const found = await from.list({
      limit: page.limit - items.length,
      ...(inner === undefined ? {} : { cursor: inner }),
      ...(siteId === null ? {} : { siteId }),
    })
    items.push(...(from.keep ? await from.keep(found.items) : found.items))
    inner = found.next ?? undefined
    if (inner === undefined && ++at >= sites.length) return { items, next: null }
  }
  return { items, next: encode({ site: sites[at]!, ...(inner === undefined ? {} : { inner }) }) }
}
