import { Effect, PolicyStatement } from 'aws-cdk-lib/aws-iam'
import type { Function as LambdaFunction } from 'aws-cdk-lib/aws-lambda'
import { INDEX, type IndexName } from '../../shared-lib/ledger/table.ts'
import { allow } from './create-function.ts'
import type { FunctionParts, Functions } from './functions.ts'
import type { QueueName } from './queues.ts'

/**
 * What each function may do beside writing its log: every action that its code uses, on the resource it uses it on, and nothing
 * else.
 */
export function grant(functions: Functions, parts: FunctionParts): void {
  const { web, intake, compare, notify, upkeep, export: exporter } = functions
  const { table, archiveArn, queues } = parts

  const onTable = (who: LambdaFunction, actions: string[], indexes: IndexName[]) => {
    const named = actions.map((a) => `dynamodb:${a}`)
    allow(who, [...named, 'dynamodb:Query'], [table.tableArn])
    if (indexes.length > 0)
      allow(
        who,
        ['dynamodb:Query'],
        indexes.map((index) => `${table.tableArn}/index/${index}`),
      )
  }
  const send = (who: LambdaFunction, ...to: QueueName[]) =>
    allow(
      who,
      ['sqs:SendMessage'],
      to.map((name) => queues[name].queue.queueArn),
    )
  /** Lambda itself takes from the queue, with the function's role. */
  const receive = (who: LambdaFunction, from: QueueName) =>
    allow(
      who,
      ['sqs:ReceiveMessage', 'sqs:DeleteMessage', 'sqs:GetQueueAttributes'],
      [queues[from].queue.queueArn],
    )
  const under = (folder: string) => `${archiveArn}/${folder}/*`

  onTable(web, ['GetItem', 'BatchGetItem', 'PutItem', 'UpdateItem', 'DeleteItem', 'BatchWriteItem'], EVERY)
  keepsRecords(web, table.tableArn)
  send(web, 'intake', 'compare', 'export')
  // Uploads through the API, what a ticket allows to be sent directly, and the ticket itself.
  allow(web, ['s3:PutObject'], [under('uploads'), under('direct'), under('tickets')])
  // An export's file is read by an address that web signs, with web's right.
  allow(web, ['s3:GetObject'], [under('uploads'), under('direct'), under('exports')])
  allow(web, ['secretsmanager:GetSecretValue'], [parts.sessionKey.secretArn])

  // Intake stores surveys by batch, in turns; a batch may put or delete, and IAM cannot tell which: only the single delete is denied.
  onTable(intake, ['GetItem', 'BatchGetItem', 'PutItem', 'DeleteItem', 'BatchWriteItem'], [INDEX.owner])
  keepsRecords(intake, table.tableArn, ['dynamodb:DeleteItem'])
  send(intake, 'intake', 'compare')
  receive(intake, 'intake')
  allow(intake, ['s3:GetObject'], [under('uploads'), under('direct'), under('tickets')])

  // Compare takes findings back that a later survey has answered: the one that may remove inside an electrode's partition.
  onTable(
    compare,
    ['GetItem', 'BatchGetItem', 'PutItem', 'UpdateItem', 'DeleteItem', 'BatchWriteItem'],
    [INDEX.owner],
  )
  send(compare, 'notify')
  receive(compare, 'compare')

  onTable(notify, ['GetItem', 'BatchGetItem', 'PutItem', 'DeleteItem', 'BatchWriteItem'], [])
  keepsRecords(notify, table.tableArn)
  send(notify, 'notify')
  receive(notify, 'notify')
  allow(notify, ['ses:SendEmail'], [...parts.mail.identityArns, parts.mail.configurationSetArn])

  // Upkeep takes stored items to a newer shape: it may write anywhere.
  onTable(upkeep, ['GetItem', 'BatchGetItem', 'PutItem', 'UpdateItem', 'DeleteItem', 'BatchWriteItem'], EVERY)
  send(upkeep, 'intake', 'compare', 'notify')
  // Drafts that nobody handed in go, of this folder alone; the bucket keeps what was removed for a month.
  allow(upkeep, ['s3:DeleteObject'], [under('uploads')])

  // The exporter reads what people may see and writes into the jobs alone; of the archive it may only write its own folder.
  onTable(exporter, ['GetItem', 'BatchGetItem'], EVERY)
  exporter.addToRolePolicy(
    new PolicyStatement({
      effect: Effect.ALLOW,
      actions: ['dynamodb:PutItem'],
      resources: [table.tableArn],
      conditions: { 'ForAllValues:StringLike': { 'dynamodb:LeadingKeys': ['XJ#*'] } },
    }),
  )
  receive(exporter, 'export')
  allow(exporter, ['s3:PutObject', 's3:AbortMultipartUpload'], [under('exports')])
}

const EVERY = Object.values(INDEX)

/** Partitions of what must never go: electrodes, sites and instruments with their surveys, findings and decisions. */
const RECORDS = ['E#*', 'S#*', 'I#*']

/** Whatever else it is allowed: by these actions the function touches nothing of the records. */
function keepsRecords(
  who: LambdaFunction,
  tableArn: string,
  actions = ['dynamodb:DeleteItem', 'dynamodb:BatchWriteItem'],
): void {
  who.addToRolePolicy(
    new PolicyStatement({
      effect: Effect.DENY,
      actions,
      resources: [tableArn],
      conditions: { 'ForAnyValue:StringLike': { 'dynamodb:LeadingKeys': RECORDS } },
    }),
  )
}
