import { setTimeout as wait } from 'node:timers/promises'
import { CannotRun } from '../exit-status.ts'
import type { Progress } from '../terminal/progress.ts'
import { refusalText, type Service } from './service.ts'
import { type RefusedRowTold, type UploadStatus, uploadStatus } from './upload-status.ts'

const FIRST_POLL_MS = 150
const SLOWEST_POLL_MS = 2000

/** A file sent past the service is known to it only when the archive has told it, mostly within seconds. */
const LOOKS_BEFORE_KNOWN = 60

async function look(service: Service, id: string, cursor?: string): Promise<UploadStatus>
async function look(
  service: Service,
  id: string,
  cursor: undefined,
  onItsWay: boolean,
): Promise<UploadStatus | null>
async function look(
  service: Service,
  id: string,
  cursor?: string,
  onItsWay = false,
): Promise<UploadStatus | null> {
  const more = cursor === undefined ? '' : `?cursor=${encodeURIComponent(cursor)}`
  const answer = await service.ask({
    method: 'GET',
    path: `api/uploads/${encodeURIComponent(id)}${more}`,
    timeoutMs: 30_000,
  })
  if (onItsWay && answer.status === 404) return null
  const read = uploadStatus.safeParse(answer.body)
  if (answer.status !== 200 || !read.success) throw new CannotRun(refusalText(answer))
  return read.data
}

/** Asks until the upload is done or failed, and shows how far it has come. Every refused row is in the answer. */
export async function awaitUpload(service: Service, id: string, progress: Progress): Promise<UploadStatus> {
  let shownTotal: number | null | undefined
  try {
    let looks = 0
    for (let pollMs = FIRST_POLL_MS; ; pollMs = Math.min(SLOWEST_POLL_MS, pollMs * 1.5)) {
      const status = await look(service, id, undefined, looks++ < LOOKS_BEFORE_KNOWN)
      if (!status) {
        await wait(pollMs)
        continue
      }
      if (status.state === 'done' || status.state === 'failed') return await withAllRefused(service, status)
      if (status.rowsTotal !== shownTotal) {
        shownTotal = status.rowsTotal
        progress.start('Judging', status.rowsTotal ?? null)
      }
      progress.at(status.rowsRead)
      await wait(pollMs)
    }
  } finally {
    progress.stop()
  }
}

/** The first answer holds some of the refused rows; none is left untold. */
async function withAllRefused(service: Service, first: UploadStatus): Promise<UploadStatus> {
  const refused: RefusedRowTold[] = [...first.refused]
  for (let cursor = first.next; cursor; ) {
    const page = await look(service, first.id, cursor)
    for (const row of page.refused) refused.push(row)
    // A service that hands the same cursor out again would never end.
    cursor = page.next === cursor ? null : page.next
  }
  return { ...first, refused, next: null }
}
