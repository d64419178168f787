import type { FindingItem } from '../../shared-lib/ledger/kept/finding.ts'

/**
 * What a person has seen of a finding when they decide: its state and the newest decision. A decision sent with an older version is
 * told of what happened in between instead of being piled on top of it unseen.
 */
export function versionOf(finding: Pick<FindingItem, 'state' | 'ruling' | 'closedBy'>): string {
  const settled = finding.closedBy && 'laterSurveyRef' in finding.closedBy ? 'settled' : ''
  return `${finding.state}.${finding.ruling?.decisionId ?? settled}`
}
