import type { ExportJob } from '../../../shared-lib/ledger/kept/export.ts'
import { sameJson } from '../../../shared-lib/ledger/same-json.ts'
import type { Person } from '../../../shared-lib/ports/identity.ts'
import type { WebDeps } from '../deps.ts'
import type { ExportWhat } from './export-kinds.ts'
import { EXPORT_KEPT_DAYS, mayFetch } from './export-rules.ts'

const MINUTE_MS = 60_000
const DAY_MS = 86_400_000
/** The same asked for again so soon is the same file: whoever presses twice, or reloads, makes no second one. House rule, no source. */
const SAME_FOR_MS = 15 * MINUTE_MS
/** A job whose message may be lost is sent again when it is asked for again. */
const LOST_AFTER_MS = 5 * MINUTE_MS
/** Files of one person in 24 hours: bounds what an export asked for in a loop may cost. House rule, no source. */
const MOST_A_DAY = 20

export type AskedExport = { kind: 'job'; job: ExportJob } | { kind: 'too-many'; waitS: number }

/**
 * Has an export made as a file: written down first, then sent, so that what was answered is never lost. Asking again for the same
 * gives the same job; what this person asked for long ago is cleared away.
 */
export async function askForExport(
  deps: Pick<WebDeps, 'ledger' | 'clock' | 'newId'> & { exports: NonNullable<WebDeps['exports']> },
  person: Person,
  what: ExportWhat,
): Promise<AskedExport> {
  const nowMs = deps.clock.nowMs()
  const jobs = await deps.ledger.listExports(person.id)
  const ageMs = (job: ExportJob) => nowMs - Date.parse(job.askedAt)
  const past = jobs.filter((job) => ageMs(job) > EXPORT_KEPT_DAYS * DAY_MS)
  await deps.ledger.removeExports(
    person.id,
    past.map((job) => job.id),
  )
  const send = (job: ExportJob) =>
    deps.exports.queue.send([{ body: { personId: person.id, exportId: job.id } }])

  const again = jobs.find(
    (job) =>
      job.state !== 'failed' &&
      ageMs(job) < (job.state === 'ready' ? SAME_FOR_MS : DAY_MS) &&
      job.kind === what.kind &&
      sameJson(job.query, what.query) &&
      mayFetch(person, job),
  )
  if (again) {
    if (again.state === 'waiting' && ageMs(again) > LOST_AFTER_MS) await send(again)
    return { kind: 'job', job: again }
  }
  const today = jobs.filter((job) => ageMs(job) < DAY_MS)
  if (today.length >= MOST_A_DAY)
    return { kind: 'too-many', waitS: Math.ceil((DAY_MS - Math.max(...today.map(ageMs))) / 1000) }
  const job: ExportJob = {
    id: deps.newId(),
    person,
    ...what,
    askedAt: new Date(nowMs).toISOString(),
    state: 'waiting',
  }
  await deps.ledger.putExport(job)
  await send(job)
  return { kind: 'job', job }
}
