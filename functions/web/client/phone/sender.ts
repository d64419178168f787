import { surveyId } from '../../../../shared-lib/survey/content-id.ts'
import { subjectOf } from '../../../../shared-lib/survey/survey.ts'
import { answered, beginSend, type FieldRecord, isOld, toSend } from './field-record.ts'
import { type Answer, type RawAnswer, readAnswer } from './read-answer.ts'
import { allRecords, changeRecord, removeRecord } from './store.ts'

/** One sender on this device, whichever tab it lives in. */
const LOCK = 'stakeline-sender'
const SLOWEST_ANSWER_MS = 30_000
const LOOK_AGAIN_MS = 60_000

let timer: ReturnType<typeof setTimeout> | undefined

/**
 * Sends what waits, oldest first, one at a time. A refused survey does not stop the others; a lost connection or a missing
 * sign-in does, because the next one would meet the same. Only `by: 'timer'` minds how long a survey is to wait: a page that is
 * opened, a network that is back and a hand try at once, and a hand also waits for its turn.
 */
export async function sendWaiting(personId: string, by: 'timer' | 'event' | 'hand'): Promise<void> {
  await navigator.locks.request(LOCK, by === 'hand' ? {} : { ifAvailable: true }, async (lock) => {
    if (lock === null) return
    for (const record of await allRecords()) if (isOld(record, Date.now())) await removeRecord(record.ref)
    const due = toSend(await allRecords(), personId, by === 'timer' ? Date.now() : undefined)
    for (const { ref } of due) {
      const answer = await sendOne(ref)
      if (answer?.kind === 'later' || answer?.kind === 'signed-out') break
    }
  })
  await planNext(personId)
}

/** Null when another tab dealt with it meanwhile. */
async function sendOne(ref: string): Promise<Answer | null> {
  let before: FieldRecord | undefined
  const sent = await changeRecord(ref, (record) => {
    if (record.state !== 'waiting' && record.state !== 'sending') return null
    before = record
    return beginSend(record)
  })
  const subject = sent?.survey && subjectOf(sent.survey)
  if (!before || !sent?.survey || !subject) return null
  const answer = readAnswer(await post(sent), {
    id: surveyId(subject, sent.survey.surveyRef),
    surveyRef: sent.survey.surveyRef,
  })
  const was = before
  await changeRecord(ref, (record) => answered(was, record, answer, Date.now()))
  return answer
}

async function post(record: FieldRecord): Promise<RawAnswer | null> {
  try {
    const answer = await fetch('/api/surveys', {
      method: 'POST',
      headers: {
        'Content-Type': 'application/json',
        'Stakeline-Person': encodeURIComponent(record.personId),
      },
      body: JSON.stringify(record.survey),
      redirect: 'error',
      cache: 'no-store',
      signal: AbortSignal.timeout(SLOWEST_ANSWER_MS),
    })
    return {
      status: answer.status,
      contentType: answer.headers.get('Content-Type') ?? '',
      body: await answer.text(),
    }
  } catch {
    return null
  }
}

/** While the page is open the next try comes by itself; what another tab left behind is found within a minute. */
async function planNext(personId: string): Promise<void> {
  const times = toSend(await allRecords(), personId).map((r) => r.nextTryAtMs ?? Number.POSITIVE_INFINITY)
  clearTimeout(timer)
  if (times.length === 0) return
  const waitMs = Math.min(LOOK_AGAIN_MS, Math.max(1000, Math.min(...times) - Date.now()))
  timer = setTimeout(() => void sendWaiting(personId, 'timer'), waitMs)
}

/**
 * Tries at once, when the page comes back to the front, and when the browser says it has a network again. It does not always say
 * so: where it believed in a network all along (a page opened without one, a portal, a dead link behind a good one) no event comes,
 * and the timer of the last try must do.
 */
export function keepSending(personId: string): void {
  const go = () => void sendWaiting(personId, 'event')
  for (const news of ['online', 'focus', 'pageshow']) addEventListener(news, go)
  document.addEventListener('visibilitychange', () => {
    if (!document.hidden) go()
  })
  go()
}
