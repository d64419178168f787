import * as z from 'zod/mini'
import type { ExportJob } from '../../../shared-lib/ledger/kept/export.ts'
import type { Ledger } from '../../../shared-lib/ledger/ledger.ts'
import type { Clock } from '../../../shared-lib/ports/clock.ts'
import { type ExportFiles, exportFileKey } from '../../../shared-lib/ports/export-files.ts'
import { handleBatch, type Log } from '../../../shared-lib/ports/handle-batch.ts'
import type { QueueHandler } from '../../../shared-lib/ports/queue.ts'
import { exportKind } from './export-kinds.ts'
import { EXPORT_PARTS } from './export-parts.ts'

export interface ExporterDeps {
  ledger: Ledger
  files: ExportFiles
  clock: Clock
  log: Log
  settings: {
    /** A file of more bytes is not made. */
    mostBytes: number
    /** Nor one that takes longer, ms: well below what the function may take. */
    longestMs: number
    /** The last try of a message: then who waits is told. */
    lastTry: number
  }
}

/** More than one file may be: told to who asked, and not tried again. */
class TooLong extends Error {}

const message = z.object({ personId: z.string(), exportId: z.string() })
const LESS =
  'It is longer than a file may be here. Ask for one site after the other, or for one electrode; nothing of it was kept.'
const NOT_MADE = 'It could not be made. Ask for it again; if that fails too, tell whoever runs the service.'
const UNKNOWN = 'This version does not know this export. Ask for it again.'

/**
 * The exporter: a job -> its file, with what who asked might see, in bounded memory. A message may come twice: what is ready or has
 * failed stays as it is, and the same file made twice is the same file.
 */
export function createExporter(deps: ExporterDeps): QueueHandler {
  const { ledger, clock, settings } = deps
  const nowIso = () => new Date(clock.nowMs()).toISOString()

  async function* bytesOf(parts: AsyncIterable<string>): AsyncGenerator<Uint8Array> {
    const endMs = clock.nowMs() + settings.longestMs
    let length = 0
    for await (const part of parts) {
      const bytes = Buffer.from(part)
      length += bytes.byteLength
      if (length > settings.mostBytes || clock.nowMs() > endMs) throw new TooLong()
      yield bytes
    }
  }

  async function make(job: ExportJob, isLastTry: boolean): Promise<void> {
    const end = (how: Partial<ExportJob>) => ledger.putExport({ ...job, ...how, finishedAt: nowIso() })
    const kind = exportKind(job.kind)
    if (!kind) return end({ state: 'failed', failure: UNKNOWN })
    await ledger.putExport({ ...job, state: 'making' })
    try {
      const asking = { deps, person: job.person, nowMs: Date.parse(job.askedAt) }
      const parts = EXPORT_PARTS[kind](asking, job.query)
      const byteLength = await deps.files.put(exportFileKey(job.id), bytesOf(parts))
      await end({ state: 'ready', byteLength })
      deps.log({ level: 'info', message: 'export made', exportId: job.id, kind, byteLength })
    } catch (error) {
      if (error instanceof TooLong) return end({ state: 'failed', failure: LESS })
      if (isLastTry) await end({ state: 'failed', failure: NOT_MADE })
      throw error
    }
  }

  return (event) =>
    handleBatch(
      event,
      async (body, record) => {
        const { personId, exportId } = message.parse(body)
        const job = await ledger.getExport(personId, exportId)
        if (!job || job.state === 'ready' || job.state === 'failed') return
        await make(job, Number(record.attributes.ApproximateReceiveCount) >= settings.lastTry)
      },
      deps.log,
    )
}
