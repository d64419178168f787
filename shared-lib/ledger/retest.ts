import type { FindingCode } from '../survey/finding.ts'

/** A test asked for before the ordinary interval is over: on the same line, with the same stakes, so that it can be compared. */
export interface RetestRequest {
  reason: FindingCode
  /** The survey whose finding asks for it. */
  surveyRef: string
  /** A step asks by itself; of any other finding somebody has asked. */
  askedBy: 'step' | 'decision'
  /** Day since which it is asked for, UTC. */
  askedOn: string
  /** Day until which it should be made, UTC. */
  dueOn: string
  /** From this day on nobody waits for the answer: the finding stands as it was told. */
  standsFrom: string
}
