import type { ExportJob } from '../../../shared-lib/ledger/kept/export.ts'
import { keptUntilMs } from './export-rules.ts'

/** A job as the API tells of it. */
export function jobAnswer(job: ExportJob) {
  const { id, kind, query, state, askedAt, finishedAt, byteLength, failure } = job
  return {
    ...{ id, kind, query, state, askedAt, finishedAt, byteLength, failure },
    keptUntil: new Date(keptUntilMs(job)).toISOString(),
    file: state === 'ready' ? `/api/exports/${encodeURIComponent(id)}/file` : null,
  }
}
