import { everyPage } from '../../shared-lib/ledger/every-page.ts'
import type { Ledger } from '../../shared-lib/ledger/ledger.ts'
import type { ArchiveRemoval } from '../../shared-lib/ports/archive.ts'
import type { Clock } from '../../shared-lib/ports/clock.ts'
import type { Log } from '../../shared-lib/ports/handle-batch.ts'

export interface DiscardDraftsDeps {
  ledger: Pick<Ledger, 'listUploads' | 'setDraftAside' | 'removeDraft'>
  archive: ArchiveRemoval
  clock: Clock
  log: Log
}

/** A file that was looked through and not handed in for so long was not meant. House rule, no source. */
const KEPT_DAYS = 14
const DAY_MS = 86_400_000

/**
 * Removes drafts that nobody handed in, archive and table. Set aside first, so that it can no longer be handed in while its file
 * goes; the entry goes last, so that what a crash leaves is found by the next call. Returns how many were removed.
 */
export function createDiscardDrafts({
  ledger,
  archive,
  clock,
  log,
}: DiscardDraftsDeps): () => Promise<number> {
  return async () => {
    const before = clock.nowMs() - KEPT_DAYS * DAY_MS
    let removed = 0
    for await (const page of everyPage((from) => ledger.listUploads({ limit: 100, ...from })))
      for (const upload of page) {
        if (upload.state !== 'draft' || Date.parse(upload.receivedAt) > before) continue
        if (!(await ledger.setDraftAside(upload.id))) continue
        await archive.remove(upload.archiveKey)
        await ledger.removeDraft(upload.id)
        removed++
      }
    if (removed > 0) log({ level: 'info', message: 'drafts removed', removed })
    return removed
  }
}
