/** The identity port: who is asking. Tokens are signed; nothing is open without one. */

export const ROLES = ['field', 'quality', 'engineer', 'admin'] as const
export type Role = (typeof ROLES)[number]

export interface Person {
  /** Stable id, e.g. `local:quality`. */
  id: string
  name: string
  email?: string
  role: Role
  /** '*' = all sites. */
  sites: string[] | '*'
}

/** A working day: no session lives longer, wherever it is issued. */
export const SESSION_LIFE_S = 12 * 3600

export interface Identity {
  /**
   * The person behind a token made for one of `uses`; null when absent, forged, expired or made for another use. Without `uses`: a
   * bearer token or a session, never a sign-in link.
   */
  verify(token: string, uses?: readonly ('bearer' | 'session' | 'sign-in')[]): Promise<Person | null>
  /** A session token for a signed-in person, another one each time, with its life in seconds: at most `SESSION_LIFE_S`. */
  issueSession(person: Person): Promise<{ token: string; maxAgeS: number }>
}

/** May this person see this site at all? */
export function seesSite(person: Person, siteId: string): boolean {
  return person.sites === '*' || person.sites.includes(siteId)
}
