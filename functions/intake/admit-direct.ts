import * as z from 'zod/mini'
import type { Ledger } from '../../shared-lib/ledger/ledger.ts'
import { newUpload } from '../../shared-lib/ledger/new-upload.ts'
import type { Archive } from '../../shared-lib/ports/archive.ts'
import type { Clock } from '../../shared-lib/ports/clock.ts'
import { correlated, correlationId } from '../../shared-lib/ports/correlation.ts'
import {
  DIRECT_FOLDER,
  type DirectTicket,
  directTicket,
  ticketKey,
} from '../../shared-lib/ports/direct-uploads.ts'
import type { Log } from '../../shared-lib/ports/handle-batch.ts'
import type { QueueHandler, QueueRecord } from '../../shared-lib/ports/queue.ts'

export interface AdmitDeps {
  ledger: Pick<Ledger, 'getUpload' | 'putUpload'>
  archive: Pick<Archive, 'open'>
  clock: Clock
  log: Log
}

/** The archive's news: a file sent with a ticket has arrived. */
const arrival = z.object({
  directKey: z.string().check(z.startsWith(DIRECT_FOLDER)),
  byteLength: z.coerce.number(),
})

/**
 * Before intake: turns the archive's news of a file into an upload, as the ticket beside it says, and hands intake its usual
 * message. The news may come twice and late; an upload that is there stays as it is.
 */
export function admitDirect(intake: QueueHandler, deps: AdmitDeps): QueueHandler {
  async function ticketOf(uploadId: string): Promise<DirectTicket> {
    const chunks: Uint8Array[] = []
    for await (const chunk of deps.archive.open(ticketKey(uploadId))) chunks.push(chunk)
    return directTicket.parse(JSON.parse(Buffer.concat(chunks).toString('utf8')))
  }

  async function admit(record: QueueRecord): Promise<QueueRecord> {
    const read = arrival.safeParse(parsed(record.body))
    if (!read.success) return record
    const { directKey, byteLength } = read.data
    const uploadId = directKey.slice(DIRECT_FOLDER.length)
    const ticket = await ticketOf(uploadId)
    if (!(await deps.ledger.getUpload(uploadId))) {
      const { by, role, sites, fileName, options } = ticket
      const receivedAt = new Date(deps.clock.nowMs()).toISOString()
      await deps.ledger.putUpload(
        newUpload({
          ...{ id: uploadId, state: 'received', archiveKey: directKey, byteLength },
          ...{ by, role, sites, fileName, options, receivedAt },
        }),
      )
    }
    const id = ticket.correlationId
    return {
      ...record,
      body: JSON.stringify({ uploadId }),
      ...(id === undefined ? {} : { messageAttributes: { correlationId: { stringValue: id } } }),
    }
  }

  return async (event) => {
    const failed: { itemIdentifier: string }[] = []
    const records: QueueRecord[] = []
    for (const record of event.Records) {
      try {
        records.push(await admit(record))
      } catch (error) {
        correlated(correlationId() ?? record.messageId, () =>
          deps.log({
            level: 'error',
            message: 'a direct upload could not be admitted',
            messageId: record.messageId,
            error: error instanceof Error ? error.message : String(error),
          }),
        )
        failed.push({ itemIdentifier: record.messageId })
      }
    }
    const { batchItemFailures } = await intake({ Records: records })
    return { batchItemFailures: [...failed, ...batchItemFailures] }
  }
}

/** A body that is no JSON is left to intake, which lets it fail like any other. */
function parsed(body: string): unknown {
  try {
    return JSON.parse(body)
  } catch {
    return undefined
  }
}
