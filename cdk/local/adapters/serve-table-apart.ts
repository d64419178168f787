import { once } from 'node:events'
import { Worker } from 'node:worker_threads'
import type { ServedTable } from './serve-table.ts'

/** The table makes much that is thrown away at once; left alone, its thread reserves ten times this for it. */
const YOUNG_MB = 32

/**
 * The same table in a thread of its own, so that its work and that of the service go on side by side. It lives and dies with this
 * process, `kill -9` included. An error there ends the process, as it would in this thread.
 */
export async function serveTableApart(path: string): Promise<ServedTable> {
  const thread = new Worker(new URL('./table-thread.ts', import.meta.url), {
    workerData: path,
    resourceLimits: { maxYoungGenerationSizeMb: YOUNG_MB },
  })
  const [endpoint] = await once(thread, 'message')
  return {
    endpoint: String(endpoint),
    async close() {
      const closed = once(thread, 'message')
      thread.postMessage('close')
      await closed
      await thread.terminate()
    },
  }
}
