import type { Person } from '../ports/identity.ts'
import { feedKey } from './keys.ts'
import type { Ledger } from './ledger.ts'
import { row } from './rows.ts'
import type { TableAccess } from './table-access.ts'

/** A person's calendar feed: who they were when the link was made, and a digest of its secret. One a person. */
export interface CalendarFeed {
  person: Person
  /** SHA-256 of the secret in the link, base64url: who reads the table cannot read the feed. */
  secretDigest: string
  madeAt: string
}

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
