import type { Finding } from '../../survey/finding.ts'
import type { PriorTest } from '../assessment.ts'
import { dayText, rounded } from '../comparison.ts'
import { normalCdf } from '../statistics/normal.ts'

/** Only a repetition rarer than this by honest chance is worth a question (practice, no source). */
export const RARE = 0.01

/**
 * Chance that two honest surveys show the same number when the display shows steps of `step` (as a share of the value) and
 * they differ with standard deviation `sd`: a difference d leaves both in one step with chance 1 − |d|/step.
 */
export function chanceOfSameStep(step: number, sd: number): number {
  if (!(step > 0) || !(sd > 0)) return 1
  const z = step / sd
  const inside = 2 * normalCdf(z) - 1
  const meanDistance = ((2 * sd) / (step * Math.sqrt(2 * Math.PI))) * (1 - Math.exp((-z * z) / 2))
  return Math.min(1, Math.max(0, inside - meanDistance))
}

/** The finding itself, in words that ask and never accuse. */
export function repeatedFinding(
  current: { readingsOhm: readonly number[]; stepOhm: number },
  same: { test: PriorTest },
  chance: number,
  probability: number | null,
): Finding {
  const day = dayText(same.test.testedAtMs)
  return {
    code: 'repeated-readings',
    severity: 'warning',
    probability: probability === null ? null : rounded(probability, 2),
    message: `All ${current.readingsOhm.length} readings equal those of ${day} (${same.test.surveyRef}); two honest tests do that ${chance < 1e-6 ? 'less than once in a million' : `about once in ${Math.round(1 / chance)}`} times here. Check whether the earlier sheet was handed in again, and repeat the test if it was.`,
    advice: [
      'Look at both sheets side by side.',
      'If this survey is a second copy, hand in the readings of the day.',
    ],
    evidence: {
      readingsOhm: current.readingsOhm,
      sameAs: same.test.surveyRef,
      sameAsTestedAt: day,
      displayStepOhm: current.stepOhm,
      chanceOfRepetition: rounded(chance, 2),
      alternatives: [
        { explanation: 'both tests are honest and the display is coarse', probability: rounded(chance, 2) },
      ],
    },
  }
}
