import type { Person } from '../../shared-lib/ports/identity.ts'

/** What every request carries besides itself. */
export type WebEnv = {
  Variables: {
    /** Who is asking; null when nobody is signed in, absent when the request failed before that was known. */
    person?: Person | null
    requestId: string
    /** How they showed it: a page's session needs the same-origin check, a program's token does not. */
    signedInBy: 'bearer' | 'session' | null
  }
}
