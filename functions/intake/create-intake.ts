import * as z from 'zod/mini'
import { createBooksReader } from '../../shared-lib/ledger/books.ts'
import { sendCompareOfMarks } from '../../shared-lib/ledger/compare-message.ts'
import type { Upload } from '../../shared-lib/ledger/kept/upload.ts'
import type { Ledger } from '../../shared-lib/ledger/ledger.ts'
import { readUpload } from '../../shared-lib/ledger/read-upload.ts'
import type { Archive } from '../../shared-lib/ports/archive.ts'
import type { Clock } from '../../shared-lib/ports/clock.ts'
import { handleBatch, type Log } from '../../shared-lib/ports/handle-batch.ts'
import type { Queue, QueueHandler } from '../../shared-lib/ports/queue.ts'
import { createChunkStore } from './chunk-store.ts'

export interface IntakeDeps {
  ledger: Ledger
  archive: Archive
  compareQueue: Queue
  clock: Clock
  newId(): string
  log: Log
  /** Surveys and refusals dealt with between two checkpoints. */
  chunkSize?: number
}

/** Enough that an electrode's surveys of ten years mostly come together, also in a file in order of date; some 10 MB in memory. */
const CHUNK = 5000
/** Readings in a portion of surveys with many: some 10 MB, too. */
const CHUNK_READINGS = 50_000
const message = z.object({ uploadId: z.string() })

/**
 * intake: an upload -> its surveys stored, its problems reported. It goes on from the last checkpoint, so it may be killed at any
 * moment; a chunk done twice changes nothing, because each survey remembers which place of which upload brought it.
 */
export function createIntake(deps: IntakeDeps): QueueHandler {
  const { ledger, clock } = deps
  const nowIso = () => new Date(clock.nowMs()).toISOString()

  async function takeIn(uploadId: string): Promise<void> {
    const found = await ledger.getUpload(uploadId)
    if (!found || found.state === 'done' || found.state === 'failed') return
    let upload: Upload = { ...found, state: 'working' }
    const reading = await readUpload(upload, deps.archive, ledger)
    if (reading.kind === 'refused') {
      await ledger.checkpointUpload(
        { ...upload, state: 'failed', failure: reading.refused.problem, finishedAt: nowIso() },
        [reading.refused],
      )
      return
    }
    upload = { ...upload, rowsTotal: reading.rowsTotal, ignoredColumns: reading.ignoredColumns }
    const store = createChunkStore({ ...deps, books: createBooksReader(ledger) })
    let place = 0
    let chunk: Parameters<typeof store>[1] = []
    let readings = 0
    const flush = async () => {
      const { upload: next, refused } = await store(upload, chunk)
      await ledger.checkpointUpload(next, refused)
      upload = next
      chunk = []
      readings = 0
    }
    for await (const entry of reading.entries) {
      if (place++ < upload.checkpoint) continue
      chunk.push({ ...entry, place: place - 1 })
      if (entry.kind === 'survey') readings += entry.survey.readings.length
      if (chunk.length >= (deps.chunkSize ?? CHUNK) || readings >= CHUNK_READINGS) await flush()
    }
    if (chunk.length > 0) await flush()
    await announce(uploadId)
    await ledger.checkpointUpload({ ...upload, state: 'done', finishedAt: nowIso() }, [])
  }

  /** One message for each site where this upload left a mark and nobody has compared since. */
  async function announce(uploadId: string): Promise<void> {
    const marks = (await ledger.listMarks()).filter((m) => m.uploadId === uploadId)
    await sendCompareOfMarks(deps.compareQueue, marks)
  }

  return (event) => handleBatch(event, async (body) => takeIn(message.parse(body).uploadId), deps.log)
}
