import type { ExportJob } from '../../../shared-lib/ledger/kept/export.ts'
import { exportFileKey } from '../../../shared-lib/ports/export-files.ts'
import type { Person } from '../../../shared-lib/ports/identity.ts'
import type { WebDeps } from '../deps.ts'
import { EXPORT_KINDS, exportKind } from './export-kinds.ts'
import { EXPORT_KEPT_DAYS, keptUntilMs, mayFetch } from './export-rules.ts'

/** For who asks for one that is not there for them. */
export const EXPORT_NOT_FOUND = `Only who asked for an export finds it, with the same role and sites, and for ${EXPORT_KEPT_DAYS} days. Ask for it again.`

/** Time to begin the download after the sign-in was looked at, s. */
const LINK_LIFE_S = 60

/** A person's own export while it is kept; null for anybody else's, and for who may no longer see all that is in it. */
export async function findExport(
  deps: Pick<WebDeps, 'ledger' | 'clock'>,
  person: Person,
  id: string,
): Promise<ExportJob | null> {
  const job = await deps.ledger.getExport(person.id, id)
  return job && mayFetch(person, job) && deps.clock.nowMs() < keptUntilMs(job) ? job : null
}

/** The address of the file, for a minute; null while there is none. Whoever is led here was signed in a moment ago. */
export async function leadToFile(deps: Pick<WebDeps, 'exports'>, job: ExportJob): Promise<string | null> {
  const kind = exportKind(job.kind)
  if (job.state !== 'ready' || !kind || !deps.exports) return null
  const { fileName } = EXPORT_KINDS[kind]
  return deps.exports.links.linkTo(exportFileKey(job.id), { fileName, lifeS: LINK_LIFE_S })
}
