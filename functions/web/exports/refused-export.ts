import { everyPage } from '../../../shared-lib/ledger/every-page.ts'
import type { RefusedRow } from '../../../shared-lib/ledger/kept/upload.ts'
import type { Person } from '../../../shared-lib/ports/identity.ts'
import type { WebDeps } from '../deps.ts'
import { REFUSED_CSV_HEAD, refusedCsvLines } from '../pages/uploads/refused-csv.ts'
import { seesUpload } from '../receive-upload.ts'

type Kept = Pick<WebDeps, 'ledger'>

const READ_AT_ONCE = 200

/** What was refused of an upload, page by page of the store. */
export const refusedPages = (deps: Kept, uploadId: string): AsyncGenerator<RefusedRow[]> =>
  everyPage((from) => deps.ledger.listRefused(uploadId, { limit: READ_AT_ONCE, ...from }))

/** The list of problems of an upload that a person sees: every one of them, no cap. */
export async function* refusedExport(
  deps: Kept,
  person: Person,
  { upload: id = '' }: { upload?: string },
): AsyncGenerator<string> {
  yield REFUSED_CSV_HEAD
  const upload = await deps.ledger.getUpload(id)
  if (!upload || !seesUpload(person, upload)) return
  for await (const rows of refusedPages(deps, id)) yield refusedCsvLines(rows)
}
