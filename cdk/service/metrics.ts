import { Duration } from 'aws-cdk-lib'
import { Metric, type MetricProps, Stats } from 'aws-cdk-lib/aws-cloudwatch'
import { METRIC_NAMESPACE, type MetricName } from '../../shared-lib/ports/cloud/metric-names.ts'

/** A metric that our own functions write in their log lines. */
export function ownMetric(metricName: MetricName, props: Partial<MetricProps> = {}): Metric {
  return new Metric({
    namespace: METRIC_NAMESPACE,
    metricName,
    statistic: Stats.SUM,
    period: Duration.minutes(5),
    ...props,
  })
}
