import { setTimeout as wait } from 'node:timers/promises'
import { CannotRun } from '../exit-status.ts'
import type { Progress } from '../terminal/progress.ts'
import { refusalText, type Service } from './service.ts'
import { type UploadStatus, uploadStatus } from './upload-status.ts'

const FIRST_POLL_MS = 150
const SLOWEST_POLL_MS = 2000

/** Asks until the upload is done or failed, and shows how far it has come. */
export async function awaitUpload(service: Service, id: string, progress: Progress): Promise<UploadStatus> {
  let shownTotal: number | null | undefined
  try {
    for (let pollMs = FIRST_POLL_MS; ; pollMs = Math.min(SLOWEST_POLL_MS, pollMs * 1.5)) {
      const answer = await service.ask({
        method: 'GET',
        path: `api/uploads/${encodeURIComponent(id)}`,
        timeoutMs: 30_000,
      })
      const read = uploadStatus.safeParse(answer.body)
      if (answer.status !== 200 || !read.success) throw new CannotRun(refusalText(answer))
      const status = read.data
      if (status.state === 'done' || status.state === 'failed') return status
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
