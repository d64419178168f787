import type { Ledger } from '../../shared-lib/ledger/ledger.ts'
import type { Log } from '../../shared-lib/ports/handle-batch.ts'

/** The same ledger, and a log line for findings that somebody is to be told. */
export function tellNews(ledger: Ledger, log: Log): Ledger {
  return {
    ...ledger,
    async addUntold(untold) {
      const added = await ledger.addUntold(untold)
      log({ level: 'info', message: 'news', counts: { FindingsNew: untold.length } })
      return added
    },
  }
}
