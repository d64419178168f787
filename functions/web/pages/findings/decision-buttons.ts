import type { DecisionAction } from '../../../../shared-lib/history/assessment.ts'
import { ACTIONS_WITH_REASON } from '../../decide-finding.ts'

/** The buttons in the order a hand finds them wherever a finding is decided: taking it seriously first, silencing it last. */
export const DECISION_BUTTONS: readonly DecisionAction[] = [
  'confirm',
  'retest',
  'repaired',
  'accept',
  'set-aside',
]

/** Those that need no reason: one press in the row. The others wait beside the field for the reason. */
export const BUTTONS_AT_ONCE: readonly DecisionAction[] = DECISION_BUTTONS.filter(
  (a) => !ACTIONS_WITH_REASON.includes(a),
)
