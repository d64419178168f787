import { everyPage } from '../../../shared-lib/ledger/every-page.ts'
import { findingsCsv } from '../pages/findings/findings-csv.ts'
import { findingsOf, queueQuery, READ_AT_ONCE } from '../pages/findings/queue-findings.ts'

/** Everything of the queue that a filter lets through, whatever page was shown. */
export function findingsExport(
  asking: Parameters<typeof findingsOf>[0],
  query: Record<string, string>,
): AsyncGenerator<string> {
  const narrowed = queueQuery((name) => query[name])
  return findingsCsv(everyPage(({ cursor }) => findingsOf(asking, narrowed, READ_AT_ONCE, cursor)))
}
