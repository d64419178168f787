import type { Conformity, Validity } from '../../../../shared-lib/evaluate/evaluation.ts'
import type { DecisionAction } from '../../../../shared-lib/history/assessment.ts'
import type { FindingCode, Severity } from '../../../../shared-lib/survey/finding.ts'
import type { ElectrodeKind } from '../../../../shared-lib/survey/register.ts'
import type { Condition, MeasuredAs, Method, Outcome, Survey } from '../../../../shared-lib/survey/survey.ts'

/** What each finding is called where there is room for a few words only. */
export const FINDING_TITLES: Record<FindingCode, string> = {
  'electrode-open-suspected': 'The earth may be broken',
  'earth-left-open': 'The earth was left open',
  'readings-disagree': 'The readings disagree',
  'readings-out-of-order': 'Readings out of order',
  'reading-unusable': 'A reading cannot be used',
  'auxiliary-too-resistive': 'An auxiliary stake is too resistive',
  interference: 'Stray voltage',
  'current-probe-too-close': 'Current probe too close',
  'no-steady-position': 'No steady position along the line',
  'lead-effect': 'The leads count in this value',
  'below-resolution': 'Too few digits on the display',
  'not-isolated': 'Not isolated',
  'out-of-calibration': 'Instrument past its calibration',
  'decimal-slip': 'A slipped decimal',
  'unit-slip': 'A slipped unit',
  'implausible-for-electrode': 'Implausible for this electrode',
  'repeated-readings': 'Repeated readings',
  'wrong-electrode': 'Perhaps another electrode',
  'below-physical-floor': 'Lower than this electrode can be',
  'above-physical-ceiling': 'Higher than this electrode can be',
  'impossible-date': 'Impossible date',
  'register-mismatch': 'Does not match the register',
  'rising-drift': 'Rising over the tests',
  'corrosion-suspected': 'Corrosion suspected',
  'step-rise': 'A step up',
  'step-fall': 'A step down',
  'parallel-path-suspected': 'A parallel path left connected',
  'instrument-bias': 'The instrument reads off',
  'improvement-unexplained': 'Better without a known reason',
  'site-drift': 'The whole site drifts',
  'site-wide-shift': 'Shared by the whole site',
  'after-recorded-work': 'After recorded work',
  'set-up-changed': 'The set-up changed',
  'settling-in': 'A new electrode settling in',
  'limit-exceeded': 'Over the limit',
  'limit-inconclusive': 'Too near the limit to say',
  'limit-forecast': 'Heading for the limit',
}

export const SEVERITY_WORDS: Record<Severity, string> = {
  urgent: 'Urgent',
  warning: 'Warning',
  notice: 'Notice',
}

export const VALIDITY_WORDS: Record<Validity, string> = {
  valid: 'Valid',
  doubtful: 'Doubtful',
  invalid: 'Not valid',
}

export const CONFORMITY_WORDS: Record<Conformity, string> = {
  conforming: 'Conforming',
  nonconforming: 'Nonconforming',
  inconclusive: 'Inconclusive',
  'not-assessed': 'Not assessed',
}

export const METHOD_WORDS: Record<Method, string> = {
  'fall-of-potential': 'Fall of potential',
  slope: 'Slope method',
  'two-point': 'Two-point (continuity or bonding)',
  'four-point': 'Four-point (soil resistivity)',
  'clamp-loop': 'Clamp, loop',
  selective: 'Selective',
  'high-frequency': 'High frequency',
  'current-injection': 'Current injection',
  'known-earth': 'Against a known earth',
  'check-resistor': 'Check on a known resistor',
}

export const MEASURED_AS_WORDS: Record<MeasuredAs, string> = {
  'electrode-alone': 'Electrode alone',
  connected: 'Connected to its system',
  'part-of-system': 'Part of a system',
  'not-known': 'Not known',
}

export const CONDITION_WORDS: Record<Condition, string> = {
  ok: 'Good',
  'over-range': 'Over range',
  'auxiliary-h': 'Current probe circuit too resistive or open',
  'auxiliary-s': 'Potential probe circuit too resistive or open',
  interference: 'Stray voltage',
}

export const OUTCOME_WORDS: Record<Outcome, string> = {
  tested: 'Tested',
  'no-access': 'No access',
  'not-found': 'Electrode not found',
  'link-seized': 'Test link seized',
  'no-room': 'No room for the stakes',
  'no-outage': 'No outage given',
  unsafe: 'Unsafe to test',
}

export const KIND_WORDS: Record<ElectrodeKind, string> = {
  rod: 'Rod',
  'rod-group': 'Group of rods',
  ring: 'Ring',
  grid: 'Grid',
  plate: 'Plate',
  foundation: 'Foundation',
  wire: 'Buried wire',
  'tower-footing': 'Tower footing',
  other: 'Other',
}

export const LINK_WORDS: Record<NonNullable<Survey['linkChecked']>, string> = {
  'tight-and-measured': 'Closed, tight and measured',
  tight: 'Closed and tight',
  'not-opened': 'Never opened',
  'still-open': 'Still open',
}

/** What a decision button says, what it does, and what the page says once it is done. */
export const DECISION_WORDS: Record<DecisionAction, { button: string; meaning: string; done: string }> = {
  confirm: { button: 'Confirm', meaning: 'the finding is true', done: 'confirmed' },
  retest: { button: 'Retest', meaning: 'test again before deciding', done: 'retest asked for' },
  repaired: {
    button: 'Repaired',
    meaning: 'work was done; a new baseline starts',
    done: 'marked repaired',
  },
  accept: { button: 'Accept', meaning: 'the value stands; nothing to do', done: 'value accepted' },
  'set-aside': {
    button: 'Set aside',
    meaning: 'the survey leaves the baseline; a reason is needed',
    done: 'survey set aside',
  },
  reopen: { button: 'Undo', meaning: 'opens the finding again', done: 'opened again' },
}

/** A word of the contract as people read it: `same-month` -> `same month`. */
export function plainWord(code: string): string {
  return code.replaceAll('-', ' ')
}
