import { Duration } from 'aws-cdk-lib'
import { EventField, Rule, RuleTargetInput } from 'aws-cdk-lib/aws-events'
import { SqsQueue } from 'aws-cdk-lib/aws-events-targets'
import { Role, ServicePrincipal } from 'aws-cdk-lib/aws-iam'
import type { Function as LambdaFunction } from 'aws-cdk-lib/aws-lambda'
import { EventSourceMapping } from 'aws-cdk-lib/aws-lambda'
import type { Bucket } from 'aws-cdk-lib/aws-s3'
import { CfnSchedule } from 'aws-cdk-lib/aws-scheduler'
import { Queue, QueueEncryption } from 'aws-cdk-lib/aws-sqs'
import type { Construct } from 'constructs'
import { allow } from './create-function.ts'
import type { Functions } from './functions.ts'
import type { QueueName, QueuePair } from './queues.ts'

/** What may run at once of each queue's function, from its queue. Compare is bounded by its sites. */
const AT_ONCE: Record<QueueName, number> = { intake: 10, compare: 50, notify: 5, export: 2 }
const BATCH: Record<QueueName, number> = { intake: 1, compare: 5, notify: 5, export: 1 }
const SWEEP_EVERY = Duration.minutes(5)

interface Wake {
  id: string
  task: 'sweep' | 'instruments' | 'count' | 'learn' | 'drafts' | 'urgent-unanswered' | 'warnings-unanswered'
  description: string
  when: string
  /** A start later than this is worth nothing: the next is near. */
  atMostLate: Duration
}

/** What upkeep is woken for, each with the task's name as its event. Nightly work begins when crews are home, UTC. */
const WAKES: readonly Wake[] = [
  {
    id: 'Sweep',
    task: 'sweep',
    description: 'Sends again what lost its message, releases held surveys',
    when: `rate(${SWEEP_EVERY.toMinutes()} minutes)`,
    atMostLate: SWEEP_EVERY,
  },
  {
    id: 'Instruments',
    task: 'instruments',
    description: 'Looks through every site for instruments that read unlike the others',
    when: 'cron(10 1 * * ? *)',
    atMostLate: Duration.hours(6),
  },
  {
    id: 'Count',
    task: 'count',
    description: 'Counts how every site stands, for the page of the fleet',
    when: 'cron(40 1,13 * * ? *)',
    atMostLate: Duration.hours(6),
  },
  {
    id: 'UrgentUnanswered',
    task: 'urgent-unanswered',
    description: 'Tells the next person of an urgent finding that nobody has answered',
    when: 'rate(30 minutes)',
    atMostLate: Duration.minutes(30),
  },
  {
    id: 'WarningsUnanswered',
    task: 'warnings-unanswered',
    description: 'Tells the next person of warnings that nobody has answered',
    // In the morning of a working day, so that it meets somebody at work.
    when: 'cron(0 6 ? * MON-FRI *)',
    atMostLate: Duration.hours(6),
  },
  {
    id: 'Learn',
    task: 'learn',
    description:
      'Learns the parameters of comparison from the fleet; a person adopts them, unless set otherwise',
    when: 'cron(10 2 * * ? *)',
    atMostLate: Duration.hours(6),
  },
  {
    id: 'Drafts',
    task: 'drafts',
    description: 'Removes files that were looked through and not handed in for two weeks',
    when: 'cron(40 2 * * ? *)',
    atMostLate: Duration.hours(6),
  },
]

/**
 * What wakes the functions: queues with partial batch responses, the schedules, and the archive's news of a file sent directly.
 * Returns the queue of scheduled tasks that could not be started.
 */
export function createFeeds(
  scope: Construct,
  functions: Functions,
  queues: Record<QueueName, QueuePair>,
  archive: Bucket,
): { missedSweeps: Queue } {
  for (const name of Object.keys(queues) as QueueName[])
    feed(scope, name, functions[name], queues[name].queue)
  tellIntake(scope, archive, queues.intake)

  const missedSweeps = new Queue(scope, 'missed-sweeps', {
    encryption: QueueEncryption.SQS_MANAGED,
    enforceSSL: true,
    retentionPeriod: Duration.days(14),
  })
  const role = new Role(scope, 'sweep-role', { assumedBy: new ServicePrincipal('scheduler.amazonaws.com') })
  allow(role, ['lambda:InvokeFunction'], [functions.upkeep.functionArn])
  allow(role, ['sqs:SendMessage'], [missedSweeps.queueArn])
  // Spelled out, because the construct's own target may call every version of the function too.
  for (const { id, task, description, when, atMostLate } of WAKES)
    new CfnSchedule(scope, id, {
      description,
      scheduleExpression: when,
      flexibleTimeWindow: { mode: 'OFF' },
      target: {
        arn: functions.upkeep.functionArn,
        roleArn: role.roleArn,
        input: JSON.stringify({ task }),
        deadLetterConfig: { arn: missedSweeps.queueArn },
        retryPolicy: { maximumEventAgeInSeconds: atMostLate.toSeconds(), maximumRetryAttempts: 1 },
      },
    })
  return { missedSweeps }
}

function feed(scope: Construct, name: QueueName, handler: LambdaFunction, queue: Queue): void {
  new EventSourceMapping(scope, `${name}-feed`, {
    target: handler,
    eventSourceArn: queue.queueArn,
    batchSize: BATCH[name],
    reportBatchItemFailures: true,
    maxConcurrency: AT_ONCE[name],
  })
}

/** A file that came with a ticket: the archive tells EventBridge, which tells intake's queue in intake's own words. */
function tellIntake(scope: Construct, archive: Bucket, { queue, deadLetters }: QueuePair): void {
  new Rule(scope, 'DirectUpload', {
    description: 'A file sent with a ticket has arrived in the archive',
    eventPattern: {
      source: ['aws.s3'],
      detailType: ['Object Created'],
      detail: { bucket: { name: [archive.bucketName] }, object: { key: [{ prefix: 'direct/' }] } },
    },
    targets: [
      new SqsQueue(queue, {
        message: RuleTargetInput.fromObject({
          directKey: EventField.fromPath('$.detail.object.key'),
          byteLength: EventField.fromPath('$.detail.object.size'),
        }),
        deadLetterQueue: deadLetters,
        retryAttempts: 185,
        maxEventAge: Duration.hours(24),
      }),
    ],
  })
}
