import type { Validity } from '../../../shared-lib/evaluate/evaluation.ts'
import type { Finding, Severity } from '../../../shared-lib/survey/finding.ts'

/** What a run has come to, counted as it goes. */
export interface Tally {
  surveys: number
  valid: number
  doubtful: number
  invalid: number
  urgent: number
  warning: number
  notice: number
  held: number
  /** Surveys that came twice with the same content, and are reported once. */
  repeated: number
  refusedRows: number
}

export function newTally(): Tally {
  return {
    surveys: 0,
    valid: 0,
    doubtful: 0,
    invalid: 0,
    urgent: 0,
    warning: 0,
    notice: 0,
    held: 0,
    repeated: 0,
    refusedRows: 0,
  }
}

/** A survey's findings were counted, and now it has more or others. */
export function recountFindings(tally: Tally, before: readonly Finding[], after: readonly Finding[]): void {
  for (const finding of before) tally[finding.severity]--
  for (const finding of after) tally[finding.severity]++
}

export function countSurvey(tally: Tally, judged: { validity: Validity; severities: Severity[] }): void {
  tally.surveys++
  tally[judged.validity]++
  for (const severity of judged.severities) tally[severity]++
}
