import type { Person } from '../../ports/identity.ts'

/** A person's calendar feed: who they were when they signed in last, and a digest of its secret. One a person. */
export interface CalendarFeed {
  person: Person
  /** Absent: not since the link was made. */
  signedInAt?: string
  /** SHA-256 of the secret in the link, base64url: who reads the table cannot read the feed. */
  secretDigest: string
  madeAt: string
}

/** What is kept about a person between visits. */
export interface KeptPeople {
  putFeed(feed: CalendarFeed): Promise<void>
  getFeed(personId: string): Promise<CalendarFeed | null>
  /** Not good any more from now on; kept until `untilMs`, when the session ends by itself. */
  endSession(digest: string, times: { nowMs: number; untilMs: number }): Promise<void>
  isSessionEnded(digest: string): Promise<boolean>
}
