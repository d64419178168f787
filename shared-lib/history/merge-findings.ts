import { FINDING_CODES, type Finding, SEVERITIES } from '../survey/finding.ts'

const codeRank = new Map<string, number>(FINDING_CODES.map((code, rank) => [code, rank]))
const severityRank = (f: Finding): number => SEVERITIES.length - 1 - SEVERITIES.indexOf(f.severity)

/** The history's answer to a doubt that the sheet has about itself: it stands in for the doubt, if that is no more than a warning. */
const answers = (f: Finding): boolean => f.evidence.answersOwnDoubt === true

/** True when `b` says more than `a` about the same thing: graver first, then surer. Equal: `a` stays. */
function saysMore(b: Finding, a: Finding): boolean {
  if (answers(a) !== answers(b)) return answers(b) ? a.severity !== 'urgent' : b.severity === 'urgent'
  const graver = severityRank(a) - severityRank(b)
  return graver !== 0 ? graver > 0 : (b.probability ?? -1) > (a.probability ?? -1)
}

/**
 * Joins what a survey says of itself with what its history says of it, the same way for the service and for `check`.
 *
 * One finding a code: of two with the same code the graver stays, then the more probable, then the survey's own, so a
 * comparison can raise a finding's severity and quieten one only by answering it (`answeredDoubts`), never an urgent one. Order: urgent, warning, notice; within one severity the
 * order of `FINDING_CODES`, whatever order they came in. Inputs are left as they are.
 */
export function mergeFindings(own: readonly Finding[], fromHistory: readonly Finding[]): Finding[] {
  const byCode = new Map<string, Finding>()
  for (const finding of [...own, ...fromHistory]) {
    const known = byCode.get(finding.code)
    if (!known || saysMore(finding, known)) byCode.set(finding.code, finding)
  }
  return [...byCode.values()].sort(
    (a, b) =>
      severityRank(a) - severityRank(b) ||
      (codeRank.get(a.code) ?? codeRank.size) - (codeRank.get(b.code) ?? codeRank.size),
  )
}
