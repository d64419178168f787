import * as z from 'zod/mini'
import { type Person, ROLES } from '../identity.ts'

/** What the user pool says of somebody in an ID token. Role and sites are an administrator's to set, never the person's own. */
const claims = z.object({
  sub: z.string().check(z.minLength(1)),
  email: z.optional(z.string()),
  name: z.optional(z.string()),
  'cognito:groups': z._default(z.array(z.string()), []),
  'custom:sites': z._default(z.string(), ''),
})

/**
 * The person of an ID token whose signature has been checked; null for somebody without a role. Of several roles the one with the
 * most rights counts. No sites named = none.
 */
export function personOfClaims(payload: Record<string, unknown>): Person | null {
  const read = claims.safeParse(payload)
  if (!read.success) return null
  const { sub, email, name, 'cognito:groups': groups, 'custom:sites': sites } = read.data
  const role = ROLES.findLast((r) => groups.includes(r))
  if (role === undefined) return null
  return {
    id: `pool:${sub}`,
    name: name ?? email ?? 'Somebody without a name',
    ...(email === undefined ? {} : { email }),
    role,
    sites: sites.trim() === '*' ? '*' : sites.split(',').flatMap((s) => s.trim() || []),
  }
}
