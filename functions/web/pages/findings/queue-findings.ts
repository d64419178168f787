import type { FindingItem } from '../../../../shared-lib/ledger/kept/finding.ts'
import type { Page } from '../../../../shared-lib/ledger/kept/page.ts'
import type { Person } from '../../../../shared-lib/ports/identity.ts'
import type { WebDeps } from '../../deps.ts'
import { passes, readFilter } from '../../finding-filter.ts'
import { visibleFindings } from '../../visible-lists.ts'
import type { QueueQuery } from './queue-filters.ts'

/** Findings the store likes to give at a time. */
export const READ_AT_ONCE = 200

const NAMES = [
  ...['site', 'electrode', 'state', 'kind', 'instrument', 'crew', 'day', 'engineer', 'older'],
  ...['group', 'cursor'],
] as (keyof QueueQuery)[]

/** The parts of an address that are a view of the queue; anything else in it is left out. */
export function queueQuery(part: (name: string) => string | undefined): QueueQuery {
  return Object.fromEntries(NAMES.flatMap((name) => (part(name) ? [[name, part(name)]] : [])))
}

const stateOf = ({ state }: QueueQuery) => (state === 'closed' || state === 'all' ? state : 'open')

/** One page of the queue as somebody may see it at this moment, narrowed as the query says. */
export function findingsOf(
  { deps, person, nowMs }: { deps: Pick<WebDeps, 'ledger'>; person: Person; nowMs: number },
  query: QueueQuery,
  limit: number,
  cursor: string | undefined,
): Promise<Page<FindingItem> | null> {
  const { filter } = readFilter((name) => query[name as keyof QueueQuery])
  const narrow = Object.keys(filter).length > 0
  return visibleFindings(deps, person, {
    limit,
    state: stateOf(query),
    ...(cursor === undefined ? {} : { cursor }),
    ...(query.site === undefined ? {} : { siteId: query.site }),
    ...(query.electrode === undefined ? {} : { electrodeId: query.electrode }),
    ...(narrow ? { passes: (f: FindingItem) => passes(f, filter, nowMs) } : {}),
  })
}
