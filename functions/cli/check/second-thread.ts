import { getCompileCacheDir } from 'node:module'
import { dirname } from 'node:path'
import { Worker } from 'node:worker_threads'
import type { RegisterBooks } from './books.ts'
import type { ComparedBy, SiteCompared, SiteTests } from './compare-site.ts'
import type { JudgedLine, ToJudge } from './judge-survey.ts'

/** What the thread knows from its start. */
export interface ThreadBooks {
  register: RegisterBooks
  by: ComparedBy
}

export interface ThreadStart {
  books: ThreadBooks
  /** The folder in which this process keeps compiled code; undefined when it keeps none. */
  compiledIn: string | undefined
}

export type ThreadTask = { kind: 'judge'; surveys: ToJudge[] } | { kind: 'compare'; site: SiteTests }

export interface SecondThread {
  judge(surveys: ToJudge[]): Promise<JudgedLine[]>
  compare(site: SiteTests): Promise<SiteCompared>
  close(): Promise<void>
}

/**
 * A thread that judges and compares beside this one: the same answers, for surveys and sites do not know each other. An error
 * there is thrown here, to all that wait.
 */
export function startSecondThread(books: ThreadBooks): SecondThread {
  const versionFolder = getCompileCacheDir()
  const start: ThreadStart = { books, compiledIn: versionFolder && dirname(versionFolder) }
  const thread = new Worker(new URL('./second-thread-entry.ts', import.meta.url), { workerData: start })
  const waiting: { resolve(answer: unknown): void; reject(error: unknown): void }[] = []
  thread.on('message', (answer) => waiting.shift()?.resolve(answer))
  let failed: { error: unknown } | null = null
  thread.on('error', (error) => {
    failed = { error }
    for (const { reject } of waiting.splice(0)) reject(error)
  })
  const ask = <T>(task: ThreadTask): Promise<T> =>
    new Promise((resolve, reject) => {
      if (failed) return reject(failed.error)
      waiting.push({ resolve: resolve as (answer: unknown) => void, reject })
      thread.postMessage(task)
    })
  return {
    judge: (surveys) => ask({ kind: 'judge', surveys }),
    compare: (site) => ask({ kind: 'compare', site }),
    async close() {
      await thread.terminate()
    },
  }
}
