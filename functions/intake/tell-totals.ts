import type { Ledger } from '../../shared-lib/ledger/ledger.ts'
import type { Log } from '../../shared-lib/ports/handle-batch.ts'

/** The same ledger, and a log line with the totals of each upload when it is done or has failed. */
export function tellTotals(ledger: Ledger, log: Log): Ledger {
  return {
    ...ledger,
    async checkpointUpload(upload, refused) {
      await ledger.checkpointUpload(upload, refused)
      if (upload.state !== 'done' && upload.state !== 'failed') return
      log({
        level: 'info',
        message: 'upload read',
        uploadId: upload.id,
        state: upload.state,
        rows: upload.rowsRead,
        rowsRefused: upload.rowsRefused,
        counts: {
          SurveysStored: upload.surveysAccepted,
          SurveysRepeated: upload.surveysAlreadyThere,
          SurveysHeld: upload.surveysHeld,
          SurveysRefused: upload.surveysRefused,
        },
      })
    },
  }
}
