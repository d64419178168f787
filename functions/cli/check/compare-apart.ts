import { Worker } from 'node:worker_threads'
import type { ComparedBy, SiteCompared, SiteTests } from './compare-site.ts'

export interface ComparingApart {
  compare(site: SiteTests): Promise<SiteCompared>
  close(): Promise<void>
}

/**
 * Compares sites in a thread of its own, beside this one: the same answers, for sites do not know each other. An error there is thrown
 * here, at the sites that wait.
 */
export function compareApart(by: ComparedBy): ComparingApart {
  const thread = new Worker(new URL('./compare-thread.ts', import.meta.url), { workerData: by })
  const waiting: { resolve(compared: SiteCompared): void; reject(error: unknown): void }[] = []
  thread.on('message', (compared: SiteCompared) => waiting.shift()?.resolve(compared))
  thread.on('error', (error) => {
    for (const { reject } of waiting.splice(0)) reject(error)
  })
  return {
    compare: (site) =>
      new Promise((resolve, reject) => {
        waiting.push({ resolve, reject })
        thread.postMessage(site)
      }),
    async close() {
      await thread.terminate()
    },
  }
}
