import type { Finding, FindingCode } from '../../survey/finding.ts'
import type { Assessment } from '../assessment.ts'

/** What another judgement of the same surveys would change for one of them. */
export interface FindingChange {
  electrodeId: string
  surveyRef: string
  code: FindingCode
  change: 'added' | 'removed' | 'graver' | 'milder' | 'chance'
  before: { severity: Finding['severity']; probability: number | null } | null
  after: { severity: Finding['severity']; probability: number | null } | null
}

/** A chance that moves by less is no news. */
const LEAST_CHANCE = 0.1
const RANK = { notice: 0, warning: 1, urgent: 2 } as const

/**
 * The findings that differ between two judgements of the same electrodes, by electrode, survey and code: what adopting new
 * parameters (or a new judge) would change. Notices that come or go are left out; they ask nothing of anybody.
 */
export function diffAssessments(
  before: Readonly<Record<string, Assessment>>,
  after: Readonly<Record<string, Assessment>>,
): FindingChange[] {
  const changes: FindingChange[] = []
  for (const electrodeId of sortedKeys(before, after)) {
    const old = before[electrodeId]?.findings ?? {}
    const now = after[electrodeId]?.findings ?? {}
    for (const surveyRef of sortedKeys(old, now)) {
      const was = byCode(old[surveyRef])
      const is = byCode(now[surveyRef])
      for (const code of [...new Set([...was.keys(), ...is.keys()])].sort()) {
        const change = changeOf(was.get(code), is.get(code))
        if (change) changes.push({ electrodeId, surveyRef, code, ...change })
      }
    }
  }
  return changes
}

function changeOf(
  was: Finding | undefined,
  is: Finding | undefined,
): Pick<FindingChange, 'change' | 'before' | 'after'> | null {
  const before = was ? { severity: was.severity, probability: was.probability } : null
  const after = is ? { severity: is.severity, probability: is.probability } : null
  const rank = (f: Finding | undefined) => (f ? RANK[f.severity] : 0)
  if (rank(was) === 0 && rank(is) === 0) return null
  if (rank(was) === 0) return { change: 'added', before, after }
  if (rank(is) === 0) return { change: 'removed', before, after }
  if (rank(was) !== rank(is)) return { change: rank(is) > rank(was) ? 'graver' : 'milder', before, after }
  const moved = Math.abs((was?.probability ?? 0) - (is?.probability ?? 0))
  return moved >= LEAST_CHANCE ? { change: 'chance', before, after } : null
}

function byCode(list: readonly Finding[] | undefined): Map<FindingCode, Finding> {
  return new Map((list ?? []).map((f) => [f.code, f]))
}

function sortedKeys(a: object, b: object): string[] {
  return [...new Set([...Object.keys(a), ...Object.keys(b)])].sort()
}
