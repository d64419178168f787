import { Duration, Stack } from 'aws-cdk-lib'
import type { HttpApi } from 'aws-cdk-lib/aws-apigatewayv2'
import {
  Alarm,
  ComparisonOperator,
  type IMetric,
  Metric,
  Stats,
  TreatMissingData,
} from 'aws-cdk-lib/aws-cloudwatch'
import { SnsAction } from 'aws-cdk-lib/aws-cloudwatch-actions'
import { Topic } from 'aws-cdk-lib/aws-sns'
import { EmailSubscription } from 'aws-cdk-lib/aws-sns-subscriptions'
import type { Queue } from 'aws-cdk-lib/aws-sqs'
import type { Construct } from 'constructs'
import type { Functions } from './functions.ts'
import type { MailParts } from './mail.ts'
import { ownMetric } from './metrics.ts'
import type { QueueName, QueuePair } from './queues.ts'

export interface Watched {
  api: HttpApi
  functions: Functions
  queues: Record<QueueName, QueuePair>
  missedSweeps: Queue
  mail: MailParts
}

interface AlarmWords {
  metric: IMetric
  /** What it means, then what to do; the runbook in DEVELOPERS.md has the steps. */
  words: string
  threshold: number
  /** How many of how many periods: what passes by itself wakes nobody. */
  of?: readonly [number, number]
  /** Rings when the metric stays below the threshold or is silent, instead of when it gets there. */
  silence?: true
}

const WORK: Record<QueueName, string> = {
  intake: 'an uploaded file',
  compare: 'a site that has news',
  notify: 'an engineer who is to be told',
  export: 'an export that somebody waits for',
}

/**
 * Alarms on what persists and what people feel, each with what it means and what to do. They are told by mail to `alarmEmail`;
 * without one they are seen on the dashboard and in the console only.
 */
export function createAlarms(scope: Construct, watched: Watched, alarmEmail?: string): Alarm[] {
  const topic = new Topic(scope, 'Alarms', { enforceSSL: true })
  if (alarmEmail !== undefined) topic.addSubscription(new EmailSubscription(alarmEmail))
  return allAlarms(watched, Stack.of(scope).region).map(
    ([id, { metric, words, threshold, of = [1, 1], silence }]) => {
      const alarm = new Alarm(scope, id, {
        metric,
        alarmDescription: words,
        threshold,
        comparisonOperator: silence
          ? ComparisonOperator.LESS_THAN_THRESHOLD
          : ComparisonOperator.GREATER_THAN_OR_EQUAL_TO_THRESHOLD,
        datapointsToAlarm: of[0],
        evaluationPeriods: of[1],
        treatMissingData: silence ? TreatMissingData.BREACHING : TreatMissingData.NOT_BREACHING,
      })
      alarm.addAlarmAction(new SnsAction(topic))
      alarm.addOkAction(new SnsAction(topic))
      return alarm
    },
  )
}

function allAlarms(w: Watched, region: string): [string, AlarmWords][] {
  const names = Object.keys(w.queues) as QueueName[]
  return [
    ...names.map((n): [string, AlarmWords] => [
      `${n}-dead`,
      {
        metric: w.queues[n].deadLetters.metricApproximateNumberOfMessagesVisible({
          statistic: Stats.MAXIMUM,
        }),
        words: `Five tries failed for ${WORK[n]}: it waits in the dead-letter queue of ${n}, nothing is lost. Look at the error in the log of ${n}, mend it, then redrive (runbook: Redrive).`,
        threshold: 1,
      },
    ]),
    ...names.map((n): [string, AlarmWords] => [
      `${n}-late`,
      {
        metric: w.queues[n].queue.metricApproximateAgeOfOldestMessage({ statistic: Stats.MAXIMUM }),
        words: `Work for ${n} has waited 30 minutes or more: ${WORK[n]} is late. Look whether ${n} fails or is throttled, and at the account's Lambda concurrency (runbook: Late work).`,
        threshold: 1800,
        of: [2, 3],
      },
    ]),
    ...(['web', 'upkeep'] as const).map((n): [string, AlarmWords] => [
      `${n}-errors`,
      {
        metric: w.functions[n].metricErrors({ period: Duration.minutes(5) }),
        words: `The function ${n} fails again and again. Look at its log; after a deployment, roll back (runbook: Roll back).`,
        threshold: 1,
        of: [2, 3],
      },
    ]),
    [
      'pages-fail',
      {
        metric: w.api.metricServerError({ period: Duration.minutes(5), statistic: Stats.SUM }),
        words:
          'People get server errors (5xx) from pages or API. Look at the log of web by request id; after a deployment, roll back (runbook: Roll back).',
        threshold: 5,
        of: [2, 3],
      },
    ],
    [
      'sweep-missed',
      {
        metric: w.missedSweeps.metricApproximateNumberOfMessagesVisible({ statistic: Stats.MAXIMUM }),
        words:
          'A scheduled sweep could not be started. What lost its message waits for the next; if this goes on, look at the log of upkeep (runbook: Late work).',
        threshold: 3,
      },
    ],
    [
      'sweep-silent',
      {
        metric: w.functions.upkeep.metricInvocations({ period: Duration.minutes(5) }),
        words:
          'No sweep has run for half an hour: what loses its message now would wait unseen. Look whether the schedules of the service stack are there and switched on, and whether upkeep is throttled (runbook: Late work).',
        threshold: 1,
        of: [6, 6],
        silence: true,
      },
    ],
    [
      'marks-stay',
      {
        metric: ownMetric('StaleMarks', { statistic: Stats.MAXIMUM }),
        words:
          'Electrodes with news have waited for their comparison through three sweeps. Findings are late. Look at the log and dead letters of compare (runbook: Late work).',
        threshold: 1,
        of: [3, 3],
      },
    ],
    [
      'mail-fails',
      {
        metric: ownMetric('MailsFailed'),
        words:
          'Mails to engineers are not taken by SES. Look at the log of notify; check that the sender is verified, the account is out of the sandbox and under its quota (runbook: Mail).',
        threshold: 1,
        of: [2, 3],
      },
    ],
    ...(
      [
        ['bounces', 'Reputation.BounceRate', 0.025, 'bounce'],
        ['complaints', 'Reputation.ComplaintRate', 0.0005, 'are complained about'],
      ] as const
    ).map(([id, metricName, threshold, happens]): [string, AlarmWords] => [
      `mail-${id}`,
      {
        metric: new Metric({
          namespace: 'AWS/SES',
          metricName,
          region,
          statistic: Stats.MAXIMUM,
          period: Duration.hours(1),
        }),
        words: `Mails ${happens} at half the rate at which SES looks into an account. Look which addresses of the register are wrong and mend them (runbook: Mail).`,
        threshold,
      },
    ]),
  ]
}
