import { Duration } from 'aws-cdk-lib'
import {
  type Alarm,
  AlarmStatusWidget,
  Dashboard,
  GraphWidget,
  type IMetric,
  Stats,
  TextWidget,
} from 'aws-cdk-lib/aws-cloudwatch'
import type { Construct } from 'constructs'
import type { MetricName } from '../../shared-lib/ports/cloud/metric-names.ts'
import type { Watched } from './alarms.ts'
import { FUNCTION_NAMES } from './functions.ts'
import { ownMetric } from './metrics.ts'
import type { QueueName } from './queues.ts'

const WIDTH = 12

const graph = (title: string, left: IMetric[]) =>
  new GraphWidget({ title, left, width: WIDTH, height: 6, period: Duration.minutes(5) })
const own = (title: string, names: MetricName[], statistic: string = Stats.SUM) =>
  graph(
    title,
    names.map((n) => ownMetric(n, { statistic })),
  )

/** One page that answers: do surveys come in, are they judged in time, do people hear of it, does anything fail. */
export function createDashboard(scope: Construct, watched: Watched, alarms: Alarm[], title: string): void {
  const names = Object.keys(watched.queues) as QueueName[]
  const dashboard = new Dashboard(scope, 'Dashboard', { defaultInterval: Duration.days(1) })
  dashboard.addWidgets(
    new TextWidget({
      markdown: `# stakeline: ${title}\nWhat to do when an alarm rings: the runbook in DEVELOPERS.md.`,
      width: 24,
      height: 2,
    }),
  )
  dashboard.addWidgets(new AlarmStatusWidget({ title: 'Alarms', alarms, width: 24, height: 4 }))
  dashboard.addWidgets(
    own('Surveys', ['SurveysStored', 'SurveysRepeated', 'SurveysHeld', 'SurveysRefused']),
    own('Findings and mail', ['FindingsNew', 'MailsSent', 'MailsFailed']),
  )
  dashboard.addWidgets(
    graph(
      'Age of the oldest work, s',
      names.map((n) => watched.queues[n].queue.metricApproximateAgeOfOldestMessage({ label: n })),
    ),
    graph(
      'Dead letters',
      names.map((n) => watched.queues[n].deadLetters.metricApproximateNumberOfMessagesVisible({ label: n })),
    ),
  )
  dashboard.addWidgets(
    graph(
      'Errors and throttles',
      FUNCTION_NAMES.flatMap((n) => [
        watched.functions[n].metricErrors({ label: `${n} errors` }),
        watched.functions[n].metricThrottles({ label: `${n} throttles` }),
      ]),
    ),
    graph(
      'Slowest in twenty, ms',
      FUNCTION_NAMES.map((n) => watched.functions[n].metricDuration({ label: n, statistic: Stats.p(95) })),
    ),
  )
  dashboard.addWidgets(
    graph('Requests', [
      watched.api.metricCount(),
      watched.api.metricClientError(),
      watched.api.metricServerError(),
    ]),
    own('What the sweep found', ['StaleMarks', 'StaleUploads', 'StaleRecipients'], Stats.MAXIMUM),
  )
}
