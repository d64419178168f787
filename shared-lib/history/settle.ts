import type { FindingCode } from '../survey/finding.ts'
import type { PriorTest } from './assessment.ts'

/**
 * Findings that say the *record* is wrong. The earth cannot settle them: they close by a decision or a correction only.
 * All others are about the earth or the set-up of one test, and the next usable test of the same quantity answers them:
 * it raises the finding anew, on itself, or it does not.
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

/** Later in time; tests of the same instant are ordered by their reference, so that order of arrival cannot matter. */
export function byTestDate(
  a: Pick<PriorTest, 'testedAtMs' | 'surveyRef'>,
  b: Pick<PriorTest, 'testedAtMs' | 'surveyRef'>,
): number {
  return a.testedAtMs - b.testedAtMs || (a.surveyRef < b.surveyRef ? -1 : a.surveyRef > b.surveyRef ? 1 : 0)
}

/**
 * The later survey that settles a finding of `test`, or null while it stands.
 * @param tests all tests of the electrode, sorted by {@link byTestDate}
 */
export function settledBy(code: FindingCode, test: PriorTest, tests: readonly PriorTest[]): string | null {
  if (ABOUT_THE_RECORD.has(code)) {
    return tests.find((t) => t.corrects === test.surveyRef)?.surveyRef ?? null
  }
  const later = tests.filter((t) => byTestDate(test, t) < 0 && t.outcome === 'tested')
  // A link seen open is answered only by somebody who found it tight; that a later visit did not open it proves nothing.
  if (code === 'earth-left-open')
    return later.find((t) => t.linkChecked?.startsWith('tight'))?.surveyRef ?? null
  const answers = later.find(
    (t) =>
      t.resistanceOhm !== null &&
      t.validity !== 'invalid' &&
      (t.measuredAs === test.measuredAs || code === 'electrode-open-suspected'),
  )
  return answers?.surveyRef ?? null
}
