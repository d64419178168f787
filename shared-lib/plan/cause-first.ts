import type { Finding, FindingCode } from '../survey/finding.ts'
import { LINK_CAUTION } from './plan-cautions.ts'

/** Something that stands open at the electrode and must be understood before anybody spends metal on it. */
export interface CauseFirst {
  code: FindingCode
  surveyRef: string
  testedAt: string
  /** What is seen and what to do now, as the finding says it. */
  message: string
  /** Why a remedy would not help, or not yet. */
  why: string
  advice: string[]
  cautions: string[]
}

/** An open finding as far as the plan asks. */
export type OpenFinding = Pick<Finding, 'code' | 'message' | 'advice'> & {
  surveyRef: string
  testedAt: string
}

const NO_EARTH = 'More metal in the ground does not help where the conductor to it is broken or open.'
const STEP =
  'Soil does not change in one step: a conductor, a clamp or a joint does, and more metal in the ground would hide it.'
const DOUBTED = 'The value itself is in question, so a remedy would be reckoned from a wrong number.'

/** In the order in which they are told. */
const CAUSES: Partial<Record<FindingCode, string>> = {
  'electrode-open-suspected': NO_EARTH,
  'earth-left-open': NO_EARTH,
  'step-rise': STEP,
  'corrosion-suspected': 'Metal that is being eaten goes on being eaten: new metal joined to it may follow.',
  'wrong-electrode': DOUBTED,
  'unit-slip': DOUBTED,
  'decimal-slip': DOUBTED,
  'above-physical-ceiling': DOUBTED,
}
const ORDER = Object.keys(CAUSES)

/** What must be found out before any remedy, gravest first; empty when nothing of the kind stands open. Each code once, the newest test. */
export function causesFirst(open: readonly OpenFinding[]): CauseFirst[] {
  const newestFirst = [...open].sort((a, b) => Date.parse(b.testedAt) - Date.parse(a.testedAt))
  const seen = new Set<FindingCode>()
  return newestFirst
    .flatMap((finding): CauseFirst[] => {
      const why = CAUSES[finding.code]
      if (why === undefined || seen.has(finding.code)) return []
      seen.add(finding.code)
      const { code, surveyRef, testedAt, message, advice } = finding
      return [
        { code, surveyRef, testedAt, message, why, advice, cautions: why === DOUBTED ? [] : [LINK_CAUTION] },
      ]
    })
    .sort((a, b) => ORDER.indexOf(a.code) - ORDER.indexOf(b.code))
}

/** From this ratio on a reading above the earlier ones is a step to be explained. Our own estimate, no source. */
const STEP_RATIO = 1.5

/** The same where nothing is stored and a person says what it read before, ohm; null when it has not risen in a step. */
export function stepSince(
  earlierOhm: number,
  measuredOhm: number,
): Pick<CauseFirst, 'message' | 'why' | 'advice' | 'cautions'> | null {
  if (!(earlierOhm > 0) || measuredOhm < STEP_RATIO * earlierOhm) return null
  return {
    message: `${measuredOhm.toPrecision(3)} ohm against ${earlierOhm.toPrecision(3)} ohm before: a rise to ${(measuredOhm / earlierOhm).toPrecision(2)} times. Look at the earth conductor and its joints, and repeat the test on the same line.`,
    why: STEP,
    advice: [
      'Repeat the test on the same line with the same stake distances.',
      'Look for a loose, cut or stolen conductor and a corroded joint.',
    ],
    cautions: [LINK_CAUTION],
  }
}
