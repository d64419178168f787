import type { DecisionAction } from '../../shared-lib/history/assessment.ts'
import { rulingDecision } from '../../shared-lib/ledger/finding-state.ts'
import type { FindingItem } from '../../shared-lib/ledger/kept/finding.ts'
import type { Person } from '../../shared-lib/ports/identity.ts'
import { barToDecide } from './access.ts'
import type { WebDeps } from './deps.ts'
import { versionOf } from './finding-version.ts'
import type { ProblemName } from './problems.ts'
import { withNews } from './with-news.ts'

/** Decisions that change what later surveys are compared with, or drop a warning: somebody will ask why. */
export const ACTIONS_WITH_REASON: readonly DecisionAction[] = ['set-aside', 'repaired']

export type Decided =
  | { kind: 'decided' | 'already-so'; finding: FindingItem }
  /** Somebody decided, or a later survey settled it, after this person had looked: nothing was added. */
  | { kind: 'changed'; finding: FindingItem }
  | { kind: 'reason-needed' }
  | { kind: 'not-found' }
  | { kind: 'barred'; problem: ProblemName }

/** Who decided, as it is kept for ever: the name people know and the id that stays. */
function signatureOf(person: Person): string {
  return person.name === person.id ? person.id : `${person.name} (${person.id})`
}

/**
 * One decision about one finding, for the page and the API alike. Decisions are only ever added; the newest rules. The same
 * decision by the same person twice in a row (a double click, a script's retry) is kept once. With `seen`, the version that was shown,
 * a finding that changed since is left as it is and answered with what happened.
 */
export async function decideFinding(
  deps: WebDeps,
  person: Person,
  findingId: string,
  wanted: { action: DecisionAction; reason: string; seen?: string },
): Promise<Decided> {
  const finding = await deps.ledger.getFinding(findingId)
  if (!finding) return { kind: 'not-found' }
  const file = await deps.ledger.readElectrodeFile(finding.electrodeId)
  if (!file) return { kind: 'not-found' }
  const barred = barToDecide(person, file.record.electrode)
  if (barred) return { kind: 'barred', problem: barred }
  const reason = wanted.reason.trim()
  if (reason === '' && ACTIONS_WITH_REASON.includes(wanted.action)) return { kind: 'reason-needed' }

  const decidedBy = signatureOf(person)
  const before = rulingDecision(file.decisions.filter((d) => d.findingId === findingId))
  if (
    before &&
    before.action === wanted.action &&
    before.reason === reason &&
    before.decidedBy === decidedBy
  ) {
    // Once more: the first time may have ended after the decision was kept and before the finding had its state.
    const ruled = await deps.ledger.addDecision(before)
    return { kind: 'already-so', finding: ruled ?? finding }
  }
  if (wanted.seen !== undefined && wanted.seen !== versionOf(finding)) return { kind: 'changed', finding }

  const changed = await withNews(deps, [finding.electrodeId], () =>
    deps.ledger.addDecision({
      decisionId: deps.newId(),
      findingId,
      surveyRef: finding.surveyRef,
      code: finding.code,
      action: wanted.action,
      reason,
      decidedBy,
      // Later than what it answers to, also within one millisecond or when two hosts' clocks differ: the newest rules.
      decidedAtMs: Math.max(deps.clock.nowMs(), (before?.decidedAtMs ?? 0) + 1),
    }),
  )
  return changed ? { kind: 'decided', finding: changed } : { kind: 'not-found' }
}
