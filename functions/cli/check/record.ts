import type { JudgedSurvey } from '../../../shared-lib/evaluate/evaluation.ts'

/** A refused row as printed (contract). A whole file refused has `row` null. */
export interface RefusedRecord {
  kind: 'refused'
  /** Which file, where several were given. */
  file?: string
  row: number | null
  column: string | null
  value: string | null
  code: string
  problem: string
  surveyRef?: string
}

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
