import type { FindingCode } from '../survey/finding.ts'
import type { Work } from '../survey/register.ts'
import type { Decision, PriorTest } from './assessment.ts'
import { DAY_MS } from './days.ts'

/** Findings that say the record is wrong: confirming one takes the survey out of the baseline. */
export const RECORD_CODES: ReadonlySet<FindingCode> = new Set<FindingCode>([
  'decimal-slip',
  'unit-slip',
  'repeated-readings',
  'wrong-electrode',
])
/** Findings of another level: confirmed or accepted, the value is where the baseline goes on from. */
const LEVEL_CODES: ReadonlySet<FindingCode> = new Set<FindingCode>([
  'step-rise',
  'step-fall',
  'parallel-path-suspected',
  'improvement-unexplained',
])
const DRIFT_CODES: ReadonlySet<FindingCode> = new Set<FindingCode>(['rising-drift', 'corrosion-suspected'])

/** By test date, ties by reference: the order of arrival cannot be seen. The same reference twice counts once. */
export function inTestOrder(tests: readonly PriorTest[]): PriorTest[] {
  const byRef = new Map<string, PriorTest>()
  const sorted = [...tests].sort(
    (a, b) => a.testedAtMs - b.testedAtMs || compareText(a.surveyRef, b.surveyRef),
  )
  for (const test of sorted) if (!byRef.has(test.surveyRef)) byRef.set(test.surveyRef, test)
  return [...byRef.values()]
}

function compareText(a: string, b: string): number {
  return a < b ? -1 : a > b ? 1 : 0
}

/** What was connected and how it was measured are different quantities: each is a series of its own. */
export function seriesKey(test: Pick<PriorTest, 'measuredAs' | 'method'>): string {
  const method = test.method === 'slope' ? 'fall-of-potential' : test.method
  return `${test.measuredAs}/${method}`
}

/** The decision that rules each finding: the newest by time, then by id; `reopen` leaves none. */
export function rulingDecisions(decisions: readonly Decision[]): Decision[] {
  const ruling = new Map<string, Decision>()
  for (const d of decisions) {
    const known = ruling.get(d.findingId)
    const newer =
      !known ||
      d.decidedAtMs > known.decidedAtMs ||
      (d.decidedAtMs === known.decidedAtMs && d.decisionId > known.decisionId)
    if (newer) ruling.set(d.findingId, d)
  }
  return [...ruling.values()].filter((d) => d.action !== 'reopen')
}

export interface Rulings {
  /** Surveys that no longer speak for the electrode: corrected, set aside, or confirmed to be a wrong record. */
  outRefs: ReadonlySet<string>
  /** Surveys after which a repair was decided. */
  repairedRefs: ReadonlySet<string>
  /** Surveys whose value somebody has said to stand: the level goes on from there. */
  standsRefs: ReadonlySet<string>
  /** Surveys at which corrosion was confirmed: it is believed from there on, and no news again. */
  corrosionRefs: ReadonlySet<string>
}

/** What decisions and corrections say about the electrode's surveys. */
export function rulingsOf(tests: readonly PriorTest[], decisions: readonly Decision[]): Rulings {
  const outRefs = new Set<string>()
  const repairedRefs = new Set<string>()
  const standsRefs = new Set<string>()
  const corrosionRefs = new Set<string>()
  for (const test of tests) if (test.corrects) outRefs.add(test.corrects)
  for (const d of rulingDecisions(decisions)) {
    if (d.action === 'set-aside' || (d.action === 'confirm' && RECORD_CODES.has(d.code)))
      outRefs.add(d.surveyRef)
    if (d.action === 'repaired') repairedRefs.add(d.surveyRef)
    if (d.action === 'confirm' && DRIFT_CODES.has(d.code)) corrosionRefs.add(d.surveyRef)
    const level = LEVEL_CODES.has(d.code)
    const stands = d.action === 'accept' && (level || RECORD_CODES.has(d.code) || DRIFT_CODES.has(d.code))
    if (stands || (d.action === 'confirm' && level)) standsRefs.add(d.surveyRef)
  }
  return { outRefs, repairedRefs, standsRefs, corrosionRefs }
}

/** What the timeline reads of a test. */
interface Dated {
  test: PriorTest
  day: number
}

/** Recorded work that ends the old baseline before this test: its own words, a works entry, or a decision `repaired`. */
export function workBefore(
  current: Dated,
  previous: Dated | undefined,
  works: readonly Work[],
  rulings: Rulings,
): { what: string; doneOn: string | null } | null {
  if (current.test.event) return { what: current.test.event, doneOn: null }
  if (previous === undefined) return null
  const dated = works
    .map((w) => ({ what: w.what as string, doneOn: w.doneOn, day: Date.parse(w.doneOn) / DAY_MS }))
    // A day alone does not say whether that day's test came before or after: it starts anew both there and at the next test.
    .filter((w) => Math.floor(w.day) >= Math.floor(previous.day) && Math.floor(w.day) <= current.day)
    .sort((a, b) => b.day - a.day || compareText(a.what, b.what))
  if (dated[0]) return { what: dated[0].what, doneOn: dated[0].doneOn }
  return rulings.repairedRefs.has(previous.test.surveyRef) ? { what: 'repaired', doneOn: null } : null
}
