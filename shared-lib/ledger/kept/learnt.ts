import type { Parameters } from '../../history/assessment.ts'
import type { FindingChange } from '../../history/learn/diff-assessments.ts'

/** Parameters that the fleet has taught, and what they would change: they judge only when somebody has adopted them. */
export interface LearntVersion {
  parameters: Parameters
  learntAt: string
  /** How many findings would appear, go, become graver or milder, or have another chance; and the first of them by name. */
  counts: Record<FindingChange['change'], number>
  changes: FindingChange[]
}

export interface Adoption {
  version: string
  by: string
  at: string
}

/** What the fleet has taught. */
export interface KeptParameters {
  putLearnt(learnt: LearntVersion): Promise<void>
  /** Newest first. */
  listLearnt(): Promise<LearntVersion[]>
  /** False when there is no such version. */
  adoptParameters(adoption: Adoption): Promise<boolean>
  /** Null until a version was adopted: then the defaults are in force. */
  adoptedParameters(options?: {
    strong: boolean
  }): Promise<{ adoption: Adoption; parameters: Parameters } | null>
}
