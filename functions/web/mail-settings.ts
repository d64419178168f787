import * as z from 'zod'
import type { MailChoice } from '../../shared-lib/ledger/ledger.ts'
import type { Person } from '../../shared-lib/ports/identity.ts'

/** What mail does until somebody chooses: everything as it comes; 6:00 UTC is before work in most of where this is used. */
export const USUAL_MAIL: MailChoice = { rest: 'as-it-comes', digestHourUtc: 6, atOnceSites: [] }

const MOST_SITES = 200

/** As the API takes it and as the page's form is read; what is left out is as usual. */
export const mailChoiceSchema = z.strictObject({
  rest: z
    .enum(['as-it-comes', 'daily'])
    .default(USUAL_MAIL.rest)
    .describe('Ordinary findings: a mail as they come, or one a day. Urgent ones always come at once.'),
  digestHourUtc: z.number().int().min(0).max(23).default(USUAL_MAIL.digestHourUtc),
  atOnceSites: z
    .array(z.string().trim().min(1).max(100))
    .max(MOST_SITES)
    .default([])
    .transform((sites) => [...new Set(sites)].sort())
    .describe('Sites whose findings come as they come although the rest comes once a day.'),
})

/**
 * Whose mail this person may look at and change: their own; an administrator that of any address. Null where there is none: a sign-in
 * without an address gets no mail.
 */
export function addressFor(
  person: Person,
  asked: string | undefined,
): { address: string | null } | 'role-not-allowed' {
  const own = person.email?.trim().toLowerCase() || null
  const wanted = asked?.trim().toLowerCase() || null
  if (wanted === null || wanted === own) return { address: own }
  return person.role === 'admin' ? { address: wanted } : 'role-not-allowed'
}
