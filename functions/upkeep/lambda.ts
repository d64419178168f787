import * as z from 'zod/mini'
import { createDesk } from '../../shared-lib/ledger/hand-in.ts'
import { openLedger } from '../../shared-lib/ledger/open-ledger.ts'
import { numberSetting, setting, yesOrNoSetting } from '../../shared-lib/ports/cloud/environment.ts'
import { sqsQueue } from '../../shared-lib/ports/cloud/sqs-queue.ts'
import { surroundings } from '../../shared-lib/ports/cloud/surroundings.ts'
import { createNightly } from './create-nightly.ts'
import { createUpkeep } from './create-upkeep.ts'
import { createDiscardDrafts } from './discard-drafts.ts'

/** upkeep on Lambda: each schedule names the task it wakes it for. */
const { env } = process
const around = surroundings(env)
const { ledger } = openLedger(setting(env, 'TABLE_NAME'))
const compareQueue = sqsQueue(setting(env, 'COMPARE_QUEUE_URL'))
const notifyQueue = sqsQueue(setting(env, 'NOTIFY_QUEUE_URL'))

const sweep = createUpkeep({
  ...around,
  ledger,
  desk: createDesk({ ...around, ledger, compareQueue }),
  intakeQueue: sqsQueue(setting(env, 'INTAKE_QUEUE_URL')),
  compareQueue,
  notifyQueue,
  // Longer than any queue takes when all is well, so that what is merely under way is left alone.
  settings: { staleAfterS: 15 * 60 },
})

const nightly = createNightly({
  ...around,
  ledger,
  compareQueue,
  notifyQueue,
  settings: {
    fallbackEmail: setting(env, 'FALLBACK_EMAIL'),
    mailHoldS: numberSetting(env, 'MAIL_HOLD_S'),
    oldAfterDays: 30,
    urgentAfterH: numberSetting(env, 'ESCALATE_URGENT_H'),
    warningAfterDays: numberSetting(env, 'ESCALATE_WARNING_DAYS'),
    adoptLearnt: yesOrNoSetting(env, 'ADOPT_LEARNT'),
  },
})

const bucket = setting(env, 'ARCHIVE_BUCKET')
async function discardDrafts(): Promise<void> {
  // Read here, because no other task of the day needs the client of the bucket.
  const { s3ArchiveRemoval } = await import('../../shared-lib/ports/cloud/s3-archive.ts')
  await createDiscardDrafts({ ...around, ledger, archive: s3ArchiveRemoval(bucket) })()
}

const TASKS = {
  sweep,
  instruments: nightly.instruments,
  count: nightly.count,
  learn: nightly.learn,
  drafts: discardDrafts,
  'urgent-unanswered': () => nightly.escalate('urgent'),
  'warnings-unanswered': () => nightly.escalate('warning'),
}
const event = z.object({ task: z.enum(Object.keys(TASKS) as (keyof typeof TASKS)[]) })

/** @throws on an event that names no task, and whatever stops the task: the schedule's dead letters and the alarm tell of it */
export const handler = (input: unknown) => TASKS[event.parse(input).task]()
