import { chanceOfSameStep, RARE } from '../rules/repeated-readings.ts'
import type { Beliefs } from './beliefs.ts'
import { densityAt } from './explanations.ts'
import type { Verdict } from './verdict.ts'

/** Of sheets handed in again, how many are the one before; the older ones share the rest (belief). */
const LAST_SHARE = 0.9

/**
 * Product of rounding cells over the chance that it is this sheet that was handed in again, when every reading is that of an
 * earlier sheet (the newest such); null otherwise.
 */
export function repetition(
  d: Pick<Verdict, 'outlooks' | 'entry'>,
  b: Beliefs,
): { ref: string; cells: number } | null {
  const s = d.entry.sighting
  if (s.readingsOhm.length < 2) return null
  const { tests } = d.entry.member
  const same = tests.findLast(
    (r) =>
      r.sighting.readingsOhm.length === s.readingsOhm.length &&
      r.sighting.readingsOhm.every((x, i) => x === s.readingsOhm[i]),
  )
  // Equal readings are often honest on a coarse display.
  if (!same || honestChance(d, b) >= RARE) return null
  const densities = s.curve === null ? 1 : 3
  let cells = 1
  s.readingsOhm.forEach((ohm, i) => {
    const step = s.stepOhm / ohm
    cells *= i < densities ? step : Math.min(1, step / (2.5 * b.readingSd))
  })
  const share = same === tests.at(-1) ? LAST_SHARE : (1 - LAST_SHARE) / (tests.length - 1)
  return { ref: same.sighting.test.surveyRef, cells: cells / share }
}

/** Chance that an honest test shows this very sheet: the value by what is expected now, the other readings by their scatter. */
export function honestChance(v: Pick<Verdict, 'outlooks' | 'entry'>, b: Beliefs): number {
  const s = v.entry.sighting
  const step = s.stepOhm / Math.exp(s.y)
  let chance = Math.min(1, densityAt(v.outlooks, s.y) * step)
  for (let i = 1; i < s.readingsOhm.length; i++)
    chance *= chanceOfSameStep(s.stepOhm / s.readingsOhm[i]!, b.readingSd * Math.SQRT2)
  return chance
}
