import { openLedger } from '../../shared-lib/ledger/open-ledger.ts'
import { setting } from '../../shared-lib/ports/cloud/environment.ts'
import { s3Archive } from '../../shared-lib/ports/cloud/s3-archive.ts'
import { sqsQueue } from '../../shared-lib/ports/cloud/sqs-queue.ts'
import { surroundings } from '../../shared-lib/ports/cloud/surroundings.ts'
import { admitDirect } from './admit-direct.ts'
import { createIntake } from './create-intake.ts'
import { tellTotals } from './tell-totals.ts'

/** intake on Lambda, fed by its queue. */
const { env } = process
const around = surroundings(env)
const archive = s3Archive(setting(env, 'ARCHIVE_BUCKET'))
const ledger = tellTotals(openLedger(setting(env, 'TABLE_NAME')).ledger, around.log)
const compareQueue = sqsQueue(setting(env, 'COMPARE_QUEUE_URL'))

export const handler = admitDirect(createIntake({ ...around, ledger, archive, compareQueue }), {
  ...around,
  ledger,
  archive,
})
