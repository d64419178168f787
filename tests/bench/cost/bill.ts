import type { Use } from './measure-use.ts'
import { ASSUMED, PRICES } from './prices.ts'

export type Way = 'form' | 'file'

/** Requests to the services that a local run cannot count, stated from the deployed shape (cdk/service). */
export interface Stated {
  apiCalls: number
  functionCalls: number
  queueRequests: number
  bucketPuts: number
  bucketGets: number
  mails: number
  functionSeconds: number
  logBytes: number
}

/** Send, receive, delete: each message by itself, which is the dearest way. */
const REQUESTS_OF_MESSAGE = 3

export function statedOf(use: Use, way: Way): Stated {
  const { surveys, messages } = use
  const isForm = way === 'form'
  const apiCalls = isForm ? ASSUMED.apiCallsOfForm * surveys : 2
  const intakeCalls = isForm ? 0 : 1
  const compareCalls = messages - intakeCalls
  const functionCalls = apiCalls + intakeCalls + compareCalls
  return {
    apiCalls,
    functionCalls,
    queueRequests: REQUESTS_OF_MESSAGE * messages,
    // The file and, for one sent directly, its ticket.
    bucketPuts: isForm ? 0 : 2,
    bucketGets: isForm ? 0 : 2,
    mails: surveys * ASSUMED.mailsOfSurvey,
    functionSeconds:
      apiCalls * ASSUMED.webCallS +
      (isForm ? 0 : ASSUMED.intakeCallS + surveys * ASSUMED.intakeSurveyS) +
      compareCalls * ASSUMED.compareCallS,
    logBytes: functionCalls * ASSUMED.logBytesOfCall,
  }
}

/** US dollars for this work, by service; the table's storage is not in it. */
export function dollarsOf(use: Use, way: Way): Record<string, number> {
  const stated = statedOf(use, way)
  return {
    table: use.readUnits * PRICES.tableReadUnit + use.writeUnits * PRICES.tableWriteUnit,
    functions:
      stated.functionCalls * PRICES.lambdaRequest +
      stated.functionSeconds * ASSUMED.lambdaGb * PRICES.lambdaGbSecond,
    api: stated.apiCalls * PRICES.apiRequest,
    // Most messages are compare's, so all are taken at the price of its FIFO queue.
    queues: stated.queueRequests * PRICES.fifoQueueRequest,
    bucket: stated.bucketPuts * PRICES.bucketPut + stated.bucketGets * PRICES.bucketGet,
    mail: stated.mails * PRICES.mail,
    logs: (stated.logBytes / 1e9) * PRICES.logGb,
  }
}

export const sum = (by: Record<string, number>): number => Object.values(by).reduce((a, b) => a + b, 0)
