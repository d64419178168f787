import type { Finding, FindingCode } from '../survey/finding.ts'
import type { Work } from '../survey/register.ts'
import type { PriorTest } from './assessment.ts'

/**
 * Findings that say the *record* is wrong. The earth cannot settle them: they close by a decision or a correction only.
 */
const ABOUT_THE_RECORD: ReadonlySet<FindingCode> = new Set<FindingCode>([
  'decimal-slip',
  'unit-slip',
  'implausible-for-electrode',
  'repeated-readings',
  'wrong-electrode',
  'below-physical-floor',
  'above-physical-ceiling',
  'impossible-date',
  'register-mismatch',
])

/** Findings of a change in the earth. They are told once and stand until the earth is back, is worked on, or somebody decides. */
const CHANGED: Partial<Record<FindingCode, 'up' | 'down'>> = {
  'rising-drift': 'up',
  'corrosion-suspected': 'up',
  'step-rise': 'up',
  'step-fall': 'down',
  'parallel-path-suspected': 'down',
  'improvement-unexplained': 'down',
}

/** Later in time; tests of the same instant are ordered by their reference, so that order of arrival cannot matter. */
export function byTestDate(
  a: Pick<PriorTest, 'testedAtMs' | 'surveyRef'>,
  b: Pick<PriorTest, 'testedAtMs' | 'surveyRef'>,
): number {
  return a.testedAtMs - b.testedAtMs || (a.surveyRef < b.surveyRef ? -1 : a.surveyRef > b.surveyRef ? 1 : 0)
}

/** What else is known of the electrode when a finding is to be settled. */
export interface Settling {
  /** All tests of the electrode, sorted by {@link byTestDate}. */
  tests: readonly PriorTest[]
  works: readonly Work[]
  /** The codes found at each survey. */
  codesOf: ReadonlyMap<string, ReadonlySet<FindingCode>>
}

const MENDS: ReadonlySet<string> = new Set(['repaired', 'extended', 'replaced'])

/** Was the earth worked on between the two tests, as recorded in the works table or with the later test? */
function mendedBetween(from: PriorTest, to: PriorTest, works: readonly Work[]): boolean {
  if (to.event) return true
  return works.some((w) => {
    const doneMs = Date.parse(w.doneOn)
    return MENDS.has(w.what) && doneMs >= from.testedAtMs && doneMs <= to.testedAtMs
  })
}

/** Does a later value lie where the finding expected the value to be? A finding without such a band is never settled by a value. */
function isBack(finding: Pick<Finding, 'evidence'>, way: 'up' | 'down', laterOhm: number): boolean {
  const { expectedRangeOhm } = finding.evidence
  if (!Array.isArray(expectedRangeOhm)) return false
  const [lowOhm, highOhm] = expectedRangeOhm.map(Number)
  return way === 'up' ? laterOhm <= highOhm! : laterOhm >= lowOhm!
}

/**
 * The later survey that settles a finding of `test`, or null while it stands. A finding of one test's set-up or of a limit is
 * answered by the next usable test of the same quantity, which raises it anew or does not. A change of the earth is settled by a
 * value that is back, by a test after recorded work, or taken over by a later finding of the same kind.
 */
export function settledBy(
  finding: Pick<Finding, 'code' | 'evidence'>,
  test: PriorTest,
  { tests, works, codesOf }: Settling,
): string | null {
  const { code } = finding
  if (ABOUT_THE_RECORD.has(code)) {
    return tests.find((t) => t.corrects === test.surveyRef)?.surveyRef ?? null
  }
  const later = tests.filter((t) => byTestDate(test, t) < 0 && t.outcome === 'tested')
  // A link seen open is answered only by somebody who found it tight; that a later visit did not open it proves nothing.
  if (code === 'earth-left-open')
    return later.find((t) => t.linkChecked?.startsWith('tight'))?.surveyRef ?? null
  const usable = later.filter(
    (t) =>
      t.resistanceOhm !== null &&
      t.validity !== 'invalid' &&
      ((t.measuredAs === test.measuredAs && t.method === test.method) || code === 'electrode-open-suspected'),
  )
  const way = CHANGED[code]
  const answer = way
    ? usable.find(
        (t) =>
          codesOf.get(t.surveyRef)?.has(code) ||
          isBack(finding, way, t.resistanceOhm!) ||
          mendedBetween(test, t, works),
      )
    : usable[0]
  return answer?.surveyRef ?? null
}
