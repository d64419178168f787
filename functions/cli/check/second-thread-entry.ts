/** The thread that `startSecondThread` starts. */
import { enableCompileCache } from 'node:module'
import { workerData } from 'node:worker_threads'
import type { ThreadStart } from './second-thread.ts'

const { compiledIn, books } = workerData as ThreadStart
// A thread does not share what the process keeps compiled, and making all of it anew takes longer than 3,000 surveys do. So it is set
// before anything of it is loaded.
if (compiledIn !== undefined) enableCompileCache(compiledIn)
const { answerTasks } = await import('./answer-tasks.ts')
answerTasks(books)
