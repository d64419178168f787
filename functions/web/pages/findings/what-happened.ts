import type { Decision } from '../../../../shared-lib/history/assessment.ts'
import type { FindingItem } from '../../../../shared-lib/ledger/kept/finding.ts'
import { age } from '../view/format.ts'
import { DECISION_WORDS } from '../view/words.ts'

/** `Ana decided this 2 minutes ago: value accepted, because: known work.` */
export function decisionWords(d: Decision, nowMs: number): string {
  const why = d.reason === '' ? '' : `, because: ${d.reason}`
  return `${d.decidedBy} decided this ${age(new Date(d.decidedAtMs).toISOString(), nowMs)}: ${DECISION_WORDS[d.action].done}${why}.`
}

/** What became of a finding last, in one sentence; empty when nobody has touched it. */
export function whatHappened(finding: FindingItem, nowMs: number): string {
  const { closedBy, ruling } = finding
  if (closedBy && 'laterSurveyRef' in closedBy)
    return `The later survey ${closedBy.laterSurveyRef} settled it.`
  const decision = ruling ?? (closedBy && 'decision' in closedBy ? closedBy.decision : undefined)
  return decision ? decisionWords(decision, nowMs) : ''
}
