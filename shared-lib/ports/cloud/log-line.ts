import { METRIC_NAMESPACE, type MetricName } from './metric-names.ts'

/** What every line of a function has beside its own words. */
export interface LineContext {
  atMs: number
  functionName: string
  version: string
  correlationId?: string | undefined
}

export type Counts = Partial<Record<MetricName, number>>

/**
 * One log line as JSON. Counts become metrics by CloudWatch's embedded metric format: the line is written anyway, so a metric costs
 * no call and no wait. No dimensions but the namespace: an id is a property of the line, never a dimension.
 */
export function logLine(
  entry: { level: string; message: string; counts?: Counts; [key: string]: unknown },
  context: LineContext,
): string {
  const { counts = {}, ...words } = entry
  const names = Object.keys(counts)
  return JSON.stringify({
    at: new Date(context.atMs).toISOString(),
    function: context.functionName,
    version: context.version,
    ...(context.correlationId === undefined ? {} : { correlationId: context.correlationId }),
    ...words,
    ...counts,
    ...(names.length === 0
      ? {}
      : {
          _aws: {
            Timestamp: context.atMs,
            CloudWatchMetrics: [
              {
                Namespace: METRIC_NAMESPACE,
                Dimensions: [[]],
                Metrics: names.map((Name) => ({ Name, Unit: 'Count' })),
              },
            ],
          },
        }),
  })
}
