import type { DecisionAction } from '../../shared-lib/history/assessment.ts'
import { partsOfFindingId } from '../../shared-lib/ledger/finding-id.ts'
import type { Settled } from '../../shared-lib/ledger/kept/telling.ts'
import { FINDING_TITLES } from '../../shared-lib/survey/finding-words.ts'

/** What a decision that closes says happened. */
const CLOSED_AS: Record<DecisionAction, string> = {
  accept: 'the value was accepted',
  'set-aside': 'the survey was set aside',
  retest: 'a retest was asked for',
  confirm: 'it was confirmed',
  repaired: 'it was repaired',
  reopen: 'it was opened again',
}

/** One line for each thing that was told and has ended since: which, how, and by whom or what. */
export function settledLines(settled: readonly Settled[]): string[] {
  return settled
    .map((s) => ({ id: s.findingId, line: lineOf(s) }))
    .flatMap(({ id, line }) => (line === null ? [] : [{ id, line }]))
    .sort((a, b) => (a.id < b.id ? -1 : 1))
    .map(({ line }) => line)
}

/** A finding that is gone is known by its id, which an older version may have made: its own word serves then. */
const titleOf = (code: string): string =>
  new Map<string, string>(Object.entries(FINDING_TITLES)).get(code) ?? code

function lineOf({ findingId, finding }: Settled): string | null {
  if (!finding) {
    const named = partsOfFindingId(findingId)
    return (
      named &&
      `${named.electrodeId}, “${titleOf(named.code)}” of survey ${named.surveyRef}: taken back, the surveys as they are now no longer show it.`
    )
  }
  const { electrodeId, code, testedAt, closedBy } = finding
  const what = `${electrodeId}, “${FINDING_TITLES[code]}” of ${testedAt.slice(0, 10)}`
  if (!closedBy) return `${what}: closed.`
  if ('laterSurveyRef' in closedBy) return `${what}: settled by survey ${closedBy.laterSurveyRef}.`
  const { action, reason, decidedBy, decidedAtMs } = closedBy.decision
  const why = reason.trim() === '' ? '' : ` (${reason.trim()})`
  return `${what}: ${CLOSED_AS[action]}${why}, by ${decidedBy} on ${new Date(decidedAtMs).toISOString().slice(0, 10)}.`
}
