import type { JudgedSurvey } from '../../../shared-lib/evaluate/evaluation.ts'
import type { Refused } from '../../../shared-lib/survey/refused.ts'

/** A refused row as printed (contract); `file` says which one where several were given. */
type RefusedRecord = Refused & { file?: string }

/** A survey whose electrode is not in the register (contract). */
export interface HeldRecord {
  kind: 'held'
  file?: string
  row: number
  column: 'electrode_id'
  surveyRef: string
  electrodeId: string
  problem: string
}

/** One line of the output of `check`. */
export type CheckRecord = JudgedSurvey | HeldRecord | RefusedRecord
