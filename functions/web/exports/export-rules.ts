import type { ExportJob } from '../../../shared-lib/ledger/kept/export.ts'
import type { Person } from '../../../shared-lib/ports/identity.ts'

/** How long a file is kept; the bucket's lifecycle removes it after as many days. House rule, no source. */
export const EXPORT_KEPT_DAYS = 3

/**
 * May this person have the file? Only who asked, and only as long as they are still who they were then: the file holds what that
 * role, that address and those sites might see.
 */
export function mayFetch(person: Person, { person: then }: Pick<ExportJob, 'person'>): boolean {
  if (person.id !== then.id || person.role !== then.role || plain(person.email) !== plain(then.email))
    return false
  if (person.sites === '*') return true
  const now = new Set(person.sites)
  return then.sites !== '*' && then.sites.every((site) => now.has(site))
}

const plain = (email: string | undefined) => email?.trim().toLowerCase()

export const keptUntilMs = (job: Pick<ExportJob, 'askedAt'>): number =>
  Date.parse(job.askedAt) + EXPORT_KEPT_DAYS * 86_400_000
