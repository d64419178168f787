import { dollarsOf, sum } from './bill.ts'
import type { UseByWork } from './measure-use.ts'
import { ASSUMED, PRICES } from './prices.ts'

/** Half of an operator's surveys come by form, half in files of 20. */
const FORM_SHARE = 0.5
/** Crews work 250 days, and the busiest hour of a day brings a fifth of it (assumed). */
const BUSY_DAYS = 250
const BUSIEST_HOUR_SHARE = 0.2
const SWEEPS_OF_YEAR = 365 * 24 * 12
const NIGHTLY_OF_YEAR = 3 * 365
const SWEEP_S = 0.3
const NIGHTLY_S = 20
/** A new account's own limits, from memory; each can be raised on request except where told. */
const LIMITS = {
  concurrency: 1000,
  newAccountConcurrency: 10,
  mailsOfDay: 50_000,
  newAccountMailsOfDay: 200,
  tableWriteUnitsOfS: 40_000,
} as const

export interface Year {
  surveys: number
  dollars: number
  /** What the services take for being there: storage at the year's end, sweeps, nightly work. */
  standingDollars: number
  surveysOfBusiestS: number
  functionsAtOnce: number
  writeUnitsOfBusiestS: number
  mailsOfBusyDay: number
  firstLimits: string[]
}

/** A year of an operator who hands in so many surveys, and the account limits met first, the nearest first. */
export function yearOf(surveys: number, use: UseByWork): Year {
  const form = use['form post']
  const file = use['upload of 20']
  const perSurvey =
    FORM_SHARE * sum(dollarsOf(form, 'form')) +
    ((1 - FORM_SHARE) * sum(dollarsOf(file, 'file'))) / file.surveys
  const storedGb = (surveys * ASSUMED.bytesOfSurvey) / 1e9
  const standingDollars =
    storedGb * 6 * (PRICES.tableGbMonth + PRICES.recoveryGbMonth) +
    (SWEEPS_OF_YEAR + NIGHTLY_OF_YEAR) * PRICES.lambdaRequest +
    (SWEEPS_OF_YEAR * SWEEP_S + NIGHTLY_OF_YEAR * NIGHTLY_S) * ASSUMED.lambdaGb * PRICES.lambdaGbSecond

  const surveysOfBusiestS = ((surveys / BUSY_DAYS) * BUSIEST_HOUR_SHARE) / 3600
  const formS = ASSUMED.apiCallsOfForm * ASSUMED.webCallS + ASSUMED.compareCallS
  const functionsAtOnce = surveysOfBusiestS * formS
  const writeUnitsOfBusiestS = surveysOfBusiestS * form.writeUnits
  const mailsOfBusyDay = (surveys / BUSY_DAYS) * ASSUMED.mailsOfSurvey
  const shares: [string, number][] = [
    ['mails a day of a new (sandboxed) SES account, 200', mailsOfBusyDay / LIMITS.newAccountMailsOfDay],
    ['functions at once of a new account, 10', functionsAtOnce / LIMITS.newAccountConcurrency],
    ['mails a day of an SES account out of the sandbox, 50,000', mailsOfBusyDay / LIMITS.mailsOfDay],
    ['functions at once, 1,000', functionsAtOnce / LIMITS.concurrency],
    ['write units a second of one table, 40,000', writeUnitsOfBusiestS / LIMITS.tableWriteUnitsOfS],
  ]
  return {
    surveys,
    dollars: surveys * perSurvey + standingDollars,
    standingDollars,
    ...{ surveysOfBusiestS, functionsAtOnce, writeUnitsOfBusiestS, mailsOfBusyDay },
    firstLimits: shares
      .toSorted(([, a], [, b]) => b - a)
      .slice(0, 3)
      .map(([name, share]) => `${name}: ${(100 * share).toPrecision(2)} %`),
  }
}
