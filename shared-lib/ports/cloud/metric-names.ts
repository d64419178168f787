/** The metrics our functions write in their log lines (CloudWatch's embedded metric format), all counts. */
export const METRIC_NAMESPACE = 'stakeline'

export const METRIC_NAMES = [
  'SurveysStored',
  'SurveysRepeated',
  'SurveysHeld',
  'SurveysRefused',
  'ElectrodesCompared',
  'FindingsNew',
  'MailsSent',
  'MailsFailed',
  'StaleMarks',
  'StaleUploads',
  'StaleRecipients',
] as const
export type MetricName = (typeof METRIC_NAMES)[number]
