import type { CalendarFeed } from './kept/person.ts'
import { feedKey } from './keys.ts'
import type { Ledger } from './ledger.ts'
import { row } from './rows.ts'
import type { TableAccess } from './table-access.ts'

/** Calendar feeds: a new link replaces the old one, which then leads nowhere. */
export function feedsArea(table: TableAccess): Pick<Ledger, 'putFeed' | 'getFeed'> {
  return {
    async putFeed(feed) {
      await table.put(row(feedKey(feed.person.id), { d: feed }))
    },
    async getFeed(personId) {
      const stored = await table.get(feedKey(personId))
      return stored ? (stored.d as CalendarFeed) : null
    },
  }
}
