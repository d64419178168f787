import type { Decision } from '../history/assessment.ts'
import { decisionOrder, stateAfter } from './finding-state.ts'
import { findingKey, findingListing } from './keys.ts'
import type { FindingItem } from './ledger.ts'
import { type Row, SCHEMA_VERSION } from './rows.ts'
import type { TableAccess } from './table-access.ts'

/** A finding as it was stored: the state stands beside the words, so that a decision can change it alone. */
export function findingOf(r: Row): FindingItem {
  return {
    ...(r.d as Omit<FindingItem, 'state' | 'closedBy'>),
    state: r.state as FindingItem['state'],
    ...(r.closedBy === undefined ? {} : { closedBy: r.closedBy as NonNullable<FindingItem['closedBy']> }),
  }
}

/** Writes a finding as compare sees it. What a decision has written beside it (`ruledBy`) stays. */
export async function putFinding(table: TableAccess, finding: FindingItem): Promise<void> {
  const { state, closedBy, ...d } = finding
  await table.update(findingKey(finding.electrodeId, finding.id), {
    v: SCHEMA_VERSION,
    d,
    state,
    closedBy,
    ...findingListing(finding, state),
  })
}

/**
 * Gives a finding the state that the ruling decision says, unless a newer one has ruled already. Returns false when the finding is
 * gone or a newer decision rules.
 */
export function applyRuling(table: TableAccess, finding: FindingItem, ruling: Decision): Promise<boolean> {
  const state = stateAfter([ruling])
  return table.update(
    findingKey(finding.electrodeId, finding.id),
    {
      state,
      closedBy: state === 'closed' ? { decision: ruling } : undefined,
      ruledBy: decisionOrder(ruling),
      ...findingListing(finding, state),
    },
    {
      expression: 'attribute_exists(pk) AND (attribute_not_exists(ruledBy) OR ruledBy <= :ruling)',
      values: { ':ruling': decisionOrder(ruling) },
    },
  )
}
