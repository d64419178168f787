import type { Finding } from '../../survey/finding.ts'
import { dayText, rounded } from '../comparison.ts'
import type { Observation } from '../observation.ts'
import { normalCdf } from '../statistics/normal.ts'

/** Scatter of one reading against its neighbours, ln; from simulated fleets. */
const READING_SD_LN = 0.0103
/** Only a repetition rarer than this by honest chance is worth a question (practice, no source). */
const RARE = 0.01

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

/** Chance that two honest surveys show the same readings throughout. `noiseLn` is the noise between surveys. */
export function chanceOfRepetition(o: Observation, noiseLn: number): number {
  let chance = 1
  o.readingsOhm.forEach((ohm, i) => {
    const sd = (i === 0 ? noiseLn : READING_SD_LN) * Math.SQRT2
    chance *= chanceOfSameStep(o.stepOhm / ohm, sd)
  })
  return chance
}

/** Are all readings of this survey those of the earlier one, position by position? */
export function sameReadings(a: Observation, b: Observation): boolean {
  return (
    a.readingsOhm.length >= 2 &&
    a.readingsOhm.length === b.readingsOhm.length &&
    a.readingsOhm.every((r, i) => r === b.readingsOhm[i])
  )
}

/** `repeated-readings` against the newest earlier test with the very same readings; null where chance could well do it. */
export function repeatedReadings(
  current: Observation,
  earlier: readonly Observation[],
  noiseLn: number,
): Finding | null {
  const same = earlier.findLast((o) => sameReadings(current, o))
  if (same === undefined) return null
  // Each earlier sheet is another chance to agree with one of them.
  const chance = Math.min(1, earlier.length * chanceOfRepetition(current, noiseLn))
  if (chance >= RARE) return null
  return repeatedFinding(current, same, chance, null)
}

/** The finding itself, in words that ask and never accuse. */
export function repeatedFinding(
  current: Observation,
  same: Observation,
  chance: number,
  probability: number | null,
): Finding {
  const day = dayText(same.test.testedAtMs)
  return {
    code: 'repeated-readings',
    severity: 'warning',
    probability,
    message: `All ${current.readingsOhm.length} readings equal those of ${day} (${same.test.surveyRef}); two honest tests do that about once in ${Math.round(1 / Math.max(chance, 1e-6))} times here. Check whether the earlier sheet was handed in again, and repeat the test if it was.`,
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
