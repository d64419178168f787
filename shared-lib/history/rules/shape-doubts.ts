import type { Finding, FindingCode } from '../../survey/finding.ts'
import { ohms } from '../comparison.ts'
import { chanceOf } from '../model/memory.ts'
import { comparisonFor } from '../model/tell.ts'
import type { Verdict } from '../model/verdict.ts'
import { comparisonEvidence } from '../wording.ts'

/** What a sheet's own shape may raise by itself, without knowing the electrode. */
const SHAPE_DOUBTS: ReadonlySet<FindingCode> = new Set<FindingCode>([
  'readings-disagree',
  'readings-out-of-order',
  'no-steady-position',
])
/** Beliefs: how little is left for a fault of the set-up, and how surely the value is what was expected. */
const LEAST_NOTHING = 0.5
const MOST_FAULT = 0.03
const FEWEST_EARLIER = 2
/** However wide the doubt, a value farther off than this is not the expected one. */
const MOST_OFF_LN = Math.log(1.25)

/**
 * Answers to a sheet's doubts about its own shape: where the value is what two earlier tests or more let expect, and the curve is one
 * this electrode has, the doubt stays with the survey as a notice and calls nobody. Its validity stays what the sheet says.
 */
export function answeredDoubts(v: Verdict): Finding[] {
  const { sighting, member, excluded } = v.entry
  if (sighting.test.validity !== 'doubtful' || excluded || sighting.oneReadingOffLn !== null) return []
  const doubts = sighting.test.ownCodes.filter((code) => SHAPE_DOUBTS.has(code))
  if (doubts.length === 0 || member.tests.filter((r) => r.doubt > 0).length < FEWEST_EARLIER) return []
  const fault = chanceOf(v.posterior, 'too-close') + chanceOf(v.posterior, 'out-of-order')
  if (Math.abs(sighting.y - v.expected) > MOST_OFF_LN) return []
  if (chanceOf(v.posterior, 'nothing') < LEAST_NOTHING || fault > MOST_FAULT) return []
  const c = comparisonFor(v, 'nothing')
  return doubts.map((code) => ({
    code,
    severity: 'notice',
    // The chance of a fault is in the alternatives; of what the sheet doubted none is claimed any more.
    probability: null,
    message: `The readings do not lie along the line as they should, but ${ohms(c.resistanceOhm)} is what the earlier tests let expect (${ohms(c.expectedLowOhm)} to ${ohms(c.expectedHighOhm)}). Nothing to do now: look at the line of stakes at the next test.`,
    advice: [],
    evidence: { ...comparisonEvidence(c), answersOwnDoubt: true },
  }))
}
