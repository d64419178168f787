import type { Decision, DecisionAction } from '../history/assessment.ts'
import type { FindingState } from './kept/finding.ts'

/** What each action makes of a finding. `retest` keeps it open until the new test speaks; `reopen` undoes. */
const STATE_AFTER: Record<DecisionAction, FindingState> = {
  accept: 'closed',
  'set-aside': 'closed',
  confirm: 'closed',
  repaired: 'closed',
  retest: 'open',
  reopen: 'open',
}

/** Orders decisions: by time, then id. As text, so that the table can compare it in a condition. */
export const decisionOrder = (d: Pick<Decision, 'decidedAtMs' | 'decisionId'>): string =>
  `${String(Math.max(0, Math.trunc(d.decidedAtMs))).padStart(15, '0')}#${d.decisionId}`

/** The decision that rules: the newest by time, then id; null when there is none. The order given does not matter. */
export function rulingDecision(decisions: readonly Decision[]): Decision | null {
  return decisions.reduce<Decision | null>(
    (newest, d) => (newest === null || decisionOrder(d) > decisionOrder(newest) ? d : newest),
    null,
  )
}

/** The state of a finding after these decisions about it; open when there are none. The order given does not matter. */
export function stateAfter(decisions: readonly Decision[]): FindingState {
  const ruling = rulingDecision(decisions)
  return ruling ? STATE_AFTER[ruling.action] : 'open'
}
