import type { MailChoice } from '../../shared-lib/ledger/kept/telling.ts'
import type { Person } from '../../shared-lib/ports/identity.ts'
import { barToFleetWide } from './access.ts'
import type { ProblemName } from './problems.ts'

/** What mail does until somebody chooses: everything as it comes; 6:00 UTC is before work in most of where this is used. */
export const USUAL_MAIL: MailChoice = { rest: 'as-it-comes', digestHourUtc: 6, atOnceSites: [] }

/**
 * Whose mail this person may look at and change: their own; an administrator of all sites that of any address. Null where there is none: a sign-in
 * without an address gets no mail.
 */
export function addressFor(
  person: Person,
  asked: string | undefined,
): { address: string | null } | ProblemName {
  const own = person.email?.trim().toLowerCase() || null
  const wanted = asked?.trim().toLowerCase() || null
  if (wanted === null || wanted === own) return { address: own }
  if (person.role !== 'admin') return 'role-not-allowed'
  return barToFleetWide(person) ?? { address: wanted }
}
