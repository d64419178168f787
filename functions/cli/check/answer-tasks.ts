import { parentPort } from 'node:worker_threads'
import { compareSite } from './compare-site.ts'
import { judgeSurvey } from './judge-survey.ts'
import type { ThreadBooks, ThreadTask } from './second-thread.ts'

/** Within the second thread: answers what it is given, in order. */
export function answerTasks({ register, by }: ThreadBooks): void {
  const answer = (task: ThreadTask) =>
    task.kind === 'judge'
      ? task.surveys.map((survey) => judgeSurvey(survey, register))
      : compareSite(task.site, by)
  parentPort!.on('message', (task: ThreadTask) => parentPort!.postMessage(answer(task)))
}
