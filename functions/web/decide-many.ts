import type { DecisionAction } from '../../shared-lib/history/assessment.ts'
import type { FindingItem } from '../../shared-lib/ledger/kept/finding.ts'
import { inParallel } from '../../shared-lib/ledger/parallel.ts'
import type { Person } from '../../shared-lib/ports/identity.ts'
import { barToDecide } from './access.ts'
import { type Decided, decideFinding } from './decide-finding.ts'
import type { WebDeps } from './deps.ts'

/** More than a person has looked at one by one is not decided in one go. */
export const MOST_AT_ONCE = 50
const AT_ONCE = 8

/** A finding as it was named when the button was pressed. */
export interface NamedFinding {
  id: string
  /** `versionOf` it as it was shown; absent: decide whatever happened since. */
  seen?: string | undefined
}

export type DecidedEach =
  | Exclude<Decided, { kind: 'reason-needed' }>
  | { kind: 'claimed'; finding: FindingItem }

export type DecidedMany =
  | { kind: 'done'; each: { id: string; outcome: DecidedEach }[] }
  | { kind: 'too-many' | 'none' | 'reason-needed' }

/**
 * The same decision about each of the findings named, never about anything else: there is no "all that match". Each stands for
 * itself: one that somebody else decided meanwhile, or is at (unless `overtake`), is left alone and told, the others are decided. The answers come in the
 * order of the names.
 */
export async function decideMany(
  deps: WebDeps,
  person: Person,
  named: readonly NamedFinding[],
  { overtake = false, ...wanted }: { action: DecisionAction; reason: string; overtake?: boolean },
): Promise<DecidedMany> {
  const once = [...new Map(named.map((n) => [n.id, n])).values()]
  if (once.length === 0) return { kind: 'none' }
  if (once.length > MOST_AT_ONCE) return { kind: 'too-many' }
  const each = await inParallel(once, AT_ONCE, async ({ id, seen }) => ({
    id,
    outcome:
      (once.length > 1 && !overtake ? await claimedByOther(deps, person, id) : null) ??
      (await decideFinding(deps, person, id, { ...wanted, ...(seen === undefined ? {} : { seen }) })),
  }))
  const settled: { id: string; outcome: DecidedEach }[] = []
  for (const { id, outcome } of each) {
    // The same action needs a reason for all of them, and lacks it for all of them.
    if (outcome.kind === 'reason-needed') return { kind: 'reason-needed' }
    settled.push({ id, outcome })
  }
  return { kind: 'done', each: settled }
}

/** Somebody who is at a finding is not overtaken by a sweep over many; a decision about that one alone is. */
async function claimedByOther(
  deps: WebDeps,
  person: Person,
  id: string,
): Promise<{ kind: 'claimed'; finding: FindingItem } | null> {
  const finding = await deps.ledger.getFinding(id)
  const { claim } = finding ?? {}
  const held = claim && claim.by !== person.id && claim.untilMs > deps.clock.nowMs()
  if (!finding || !held) return null
  const record = await deps.ledger.getElectrode(finding.electrodeId)
  // Who may not decide about it is not told who is at it either: `decideFinding` bars them.
  return record && barToDecide(person, record.electrode) === null ? { kind: 'claimed', finding } : null
}
