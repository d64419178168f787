import type { Decision } from '../history/assessment.ts'
import type { Survey } from '../survey/survey.ts'
import { decisionOrder, stateAfter } from './finding-state.ts'
import type { FindingClaim, FindingItem } from './kept/finding.ts'
import { findingKey, findingListing } from './keys.ts'
import { type Row, row, SCHEMA_VERSION } from './rows.ts'
import type { TableAccess } from './table-access.ts'

/** A finding as it was stored: the state stands beside the words, so that a decision can change it alone. */
export function findingOf(r: Row): FindingItem {
  return {
    ...(r.d as Omit<FindingItem, 'state' | 'closedBy' | 'ruling' | 'claim'>),
    state: r.state as FindingItem['state'],
    ...(r.ruling === undefined ? {} : { ruling: r.ruling as Decision }),
    ...(r.claim === undefined ? {} : { claim: r.claim as FindingClaim }),
    ...(r.closedBy === undefined ? {} : { closedBy: r.closedBy as NonNullable<FindingItem['closedBy']> }),
  }
}

/** What a finding has in common with others of other electrodes, from its survey: the queue is narrowed by it. */
export const narrowingFacts = ({
  instrumentId,
  tester,
}: Survey): Pick<FindingItem, 'instrumentId' | 'tester'> => ({
  ...(instrumentId ? { instrumentId } : {}),
  ...(tester ? { tester } : {}),
})

/** A finding without what people have written beside it: the part that compare makes and may compare. */
function asCompared(finding: FindingItem): FindingItem {
  const { ruling: _, claim: __, ...compared } = finding
  return compared
}

/** A finding that was never stored before, as a whole item. */
export function newFindingRow(finding: FindingItem): Row {
  const { state, closedBy, ...d } = finding
  const words = { d, state, ...(closedBy ? { closedBy } : {}) }
  return row(findingKey(finding.electrodeId, finding.id), { ...words, ...findingListing(finding, state) })
}

/** Writes a finding as compare sees it. What people have written beside it (decision, claim) stays. */
export async function putFinding(table: TableAccess, finding: FindingItem): Promise<void> {
  const { state, closedBy, ...d } = asCompared(finding)
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
      ruling,
      ...findingListing(finding, state),
    },
    {
      expression: 'attribute_exists(pk) AND (attribute_not_exists(ruledBy) OR ruledBy <= :ruling)',
      values: { ':ruling': decisionOrder(ruling) },
    },
  )
}

/** Puts a claim on a finding, or takes it off; not over somebody else's that has not lapsed. False when it could not be. */
export function putClaim(
  table: TableAccess,
  finding: Pick<FindingItem, 'electrodeId' | 'id'>,
  by: string,
  claim: FindingClaim | null,
  nowMs: number,
): Promise<boolean> {
  return table.update(
    findingKey(finding.electrodeId, finding.id),
    { claim: claim ?? undefined },
    {
      expression:
        'attribute_exists(pk) AND (attribute_not_exists(claim) OR claim.#by = :by OR claim.untilMs <= :now)',
      values: { ':by': by, ':now': nowMs },
      names: { '#by': 'by' },
    },
  )
}
