/**
 * US dollars, on demand, us-east-1, without the free tier and without tax. All from memory: no price list could be fetched from where
 * this was written. Check it against the provider's price pages before anybody plans by it, and set the date anew.
 */
export const PRICES = {
  source: 'us-east-1 on-demand list prices, from memory, not checked against the price pages',
  /** When the table was last written or checked. */
  asOf: '2026-11-25',
  tableReadUnit: 0.125e-6,
  tableWriteUnit: 0.625e-6,
  tableGbMonth: 0.25,
  recoveryGbMonth: 0.2,
  lambdaRequest: 0.2e-6,
  /** arm64. */
  lambdaGbSecond: 13.3334e-6,
  apiRequest: 1e-6,
  /** A standard queue's; FIFO below. A message is sent, received and deleted: three requests, fewer in batches. */
  queueRequest: 0.4e-6,
  fifoQueueRequest: 0.5e-6,
  bucketPut: 5e-6,
  bucketGet: 0.4e-6,
  mail: 0.1e-3,
  logGb: 0.5,
} as const

/** What no local run can tell, with where it is from. Change it to what the operator's own account shows. */
export const ASSUMED = {
  /** Memory of web, intake and compare, from cdk/service/functions.ts. */
  lambdaGb: 1769 / 1024,
  /** Billed time of one call on Lambda, s: taken as three times what this code needs on one machine of ours. Not measured there. */
  webCallS: 0.06,
  intakeCallS: 0.4,
  intakeSurveyS: 0.004,
  compareCallS: 0.15,
  /** API calls for a survey typed into the form: the page, its answer and the look at what was found. */
  apiCallsOfForm: 3,
  /** Log written for one call of a function, bytes. */
  logBytesOfCall: 600,
  /** Share of surveys that bring a mail, as digests to few people. */
  mailsOfSurvey: 0.02,
  /** Bytes a survey takes in the table with its indexes and its share of findings and series. */
  bytesOfSurvey: 3000,
} as const
