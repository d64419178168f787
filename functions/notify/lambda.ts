import { openLedger } from '../../shared-lib/ledger/open-ledger.ts'
import { numberSetting, setting } from '../../shared-lib/ports/cloud/environment.ts'
import { sesMail } from '../../shared-lib/ports/cloud/ses-mail.ts'
import { sqsQueue } from '../../shared-lib/ports/cloud/sqs-queue.ts'
import { surroundings } from '../../shared-lib/ports/cloud/surroundings.ts'
import type { Mail } from '../../shared-lib/ports/mail.ts'
import { createNotify } from './create-notify.ts'
import { oneHand } from './one-hand.ts'

/** notify on Lambda, fed by its queue. */
const { env } = process
const around = surroundings(env)
const { ledger, leases } = openLedger(setting(env, 'TABLE_NAME'))
const from = setting(env, 'MAIL_FROM')
const ses = sesMail({ from, configurationSet: setting(env, 'MAIL_CONFIGURATION_SET') })

const mail: Mail = {
  async send(outgoing) {
    try {
      await ses.send(outgoing)
    } catch (error) {
      around.log({ level: 'error', message: 'a mail was not taken', counts: { MailsFailed: 1 } })
      throw error
    }
  },
}

const notify = createNotify({
  ...around,
  ledger,
  mail,
  settings: {
    operatorName: setting(env, 'OPERATOR_NAME'),
    baseUrl: setting(env, 'BASE_URL'),
    mailDomain: from.slice(from.indexOf('@') + 1),
    mailHoldS: numberSetting(env, 'MAIL_HOLD_S'),
    longestHoldS: 600,
    mailsADay: numberSetting(env, 'MAILS_A_DAY'),
  },
})

export const handler = oneHand(notify, {
  ...around,
  leases,
  notifyQueue: sqsQueue(setting(env, 'NOTIFY_QUEUE_URL')),
  // The function ends after 60 s at the latest.
  leaseS: 90,
})
