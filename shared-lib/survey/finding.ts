/** What the tool says about a survey. The codes are the contract with everyone who reads the output. */

export const FINDING_CODES = [
  // safety
  'electrode-open-suspected',
  'earth-left-open',
  // this survey
  'readings-disagree',
  'readings-out-of-order',
  'reading-unusable',
  'auxiliary-too-resistive',
  'interference',
  'current-probe-too-close',
  'no-steady-position',
  'lead-effect',
  'below-resolution',
  'not-isolated',
  'out-of-calibration',
  // implausible
  'decimal-slip',
  'unit-slip',
  'implausible-for-electrode',
  'repeated-readings',
  'wrong-electrode',
  'below-physical-floor',
  'above-physical-ceiling',
  'impossible-date',
  'register-mismatch',
  // against prior tests
  'rising-drift',
  'corrosion-suspected',
  'step-rise',
  'step-fall',
  'parallel-path-suspected',
  'instrument-bias',
  'improvement-unexplained',
  'site-drift',
  // explains, quietly
  'site-wide-shift',
  'after-recorded-work',
  'set-up-changed',
  'settling-in',
  // against the limit
  'limit-exceeded',
  'limit-inconclusive',
  'limit-forecast',
] as const
export type FindingCode = (typeof FINDING_CODES)[number]

/** `urgent` is told at once and alone; `warning` enters the review queue; `notice` is shown with the survey only. */
export const SEVERITIES = ['notice', 'warning', 'urgent'] as const
export type Severity = (typeof SEVERITIES)[number]

export interface Finding {
  code: FindingCode
  severity: Severity
  /** Chance that the finding is true, 0 to 1, an estimate not yet checked at this operator; null where none is claimed. */
  probability: number | null
  /** Two sentences: what is seen, with numbers; what to do now. */
  message: string
  /** In the order a person would try it. */
  advice: string[]
  /** The numbers behind it; plain JSON, finite numbers only. */
  evidence: Record<string, unknown>
}
