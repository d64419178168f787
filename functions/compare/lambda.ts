import { openLedger } from '../../shared-lib/ledger/open-ledger.ts'
import { parametersReader } from '../../shared-lib/ledger/parameters.ts'
import { numberSetting, setting } from '../../shared-lib/ports/cloud/environment.ts'
import { sqsQueue } from '../../shared-lib/ports/cloud/sqs-queue.ts'
import { surroundings } from '../../shared-lib/ports/cloud/surroundings.ts'
import { createCompare } from './create-compare.ts'
import { tellNews } from './tell-news.ts'

/** compare on Lambda, fed by its FIFO queue. */
const { env } = process
const around = surroundings(env)

const { ledger } = openLedger(setting(env, 'TABLE_NAME'))

export const handler = createCompare({
  ...around,
  ledger: tellNews(ledger, around.log),
  notifyQueue: sqsQueue(setting(env, 'NOTIFY_QUEUE_URL')),
  parameters: parametersReader(ledger),
  settings: {
    fallbackEmail: setting(env, 'FALLBACK_EMAIL'),
    mailHoldS: numberSetting(env, 'MAIL_HOLD_S'),
    oldAfterDays: 30,
  },
})
