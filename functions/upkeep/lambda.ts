import { createDesk } from '../../shared-lib/ledger/hand-in.ts'
import { openLedger } from '../../shared-lib/ledger/open-ledger.ts'
import { setting } from '../../shared-lib/ports/cloud/environment.ts'
import { sqsQueue } from '../../shared-lib/ports/cloud/sqs-queue.ts'
import { surroundings } from '../../shared-lib/ports/cloud/surroundings.ts'
import { createUpkeep } from './create-upkeep.ts'

/** upkeep on Lambda, woken by the schedule. */
const { env } = process
const around = surroundings(env)
const { ledger } = openLedger(setting(env, 'TABLE_NAME'))
const compareQueue = sqsQueue(setting(env, 'COMPARE_QUEUE_URL'))

const sweep = createUpkeep({
  ...around,
  ledger,
  desk: createDesk({ ...around, ledger, compareQueue }),
  intakeQueue: sqsQueue(setting(env, 'INTAKE_QUEUE_URL')),
  compareQueue,
  notifyQueue: sqsQueue(setting(env, 'NOTIFY_QUEUE_URL')),
  // Longer than any queue takes when all is well, so that what is merely under way is left alone.
  settings: { staleAfterS: 15 * 60 },
})

export const handler = () => sweep()
