import type { DecisionAction } from '../../../../shared-lib/history/assessment.ts'
import type { ElectrodeKind } from '../../../../shared-lib/survey/register.ts'
import type { Condition, MeasuredAs, Method, Outcome, Survey } from '../../../../shared-lib/survey/survey.ts'

export { CONFORMITY_WORDS, VALIDITY_WORDS } from '../../../../shared-lib/evaluate/judgement-words.ts'
export { FINDING_TITLES, SEVERITY_WORDS } from '../../../../shared-lib/survey/finding-words.ts'

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
