import type { Beliefs } from './beliefs.ts'
import type { Shared } from './common-mode.ts'
import type { PastStory } from './histories.ts'
import { meanAt, varianceAt } from './prediction.ts'
import type { ShapeLikelihoods } from './shape.ts'
import { t8Between, t8Density } from './student.ts'

/** Why a test reads what it reads. */
export const CAUSES = [
  'nothing',
  'rise',
  'fall',
  'corrosion',
  'decimal',
  'unit',
  'repeated',
  'wrong-electrode',
  'too-close',
  'out-of-order',
] as const
export type Cause = (typeof CAUSES)[number]

/** One past story under one common mode: what it expects of the test, and its share. */
export interface Outlook {
  story: PastStory
  option: number
  weight: number
  mean: number
  scale: number
}

/** Makes the sd of a t8 about that under the root. */
const T8_SCALE = 0.88

export function outlooksOf(
  stories: readonly PastStory[],
  options: readonly Shared[],
  q: number,
  t: number,
  roundingVar: number,
  strangeVar: (g: number) => number,
): Outlook[] {
  const out: Outlook[] = []
  for (const story of stories)
    for (let o = 0; o < options.length; o++) {
      const { g, variance, share } = options[o]!
      const loading = 1 + story.fit.x1
      const total =
        varianceAt(story.fit, g, q, t) +
        story.fit.noiseVar +
        loading * loading * variance +
        roundingVar +
        strangeVar(g)
      out.push({
        story,
        option: o,
        weight: story.weight * share,
        mean: meanAt(story.fit, g, q, t),
        scale: T8_SCALE * Math.sqrt(Math.max(1e-6, total)),
      })
    }
  return out
}

/** Density of ln R = y under all outlooks together. */
export function densityAt(outlooks: readonly Outlook[], y: number): number {
  let sum = 0
  for (const o of outlooks) sum += o.weight * t8Density(y, o.mean, o.scale)
  return sum
}

/** Expected ln R and standard deviation, the spread between outlooks included. */
export function expectedOf(outlooks: readonly Outlook[]): { mean: number; sd: number } {
  let mean = 0
  for (const o of outlooks) mean += o.weight * o.mean
  let variance = 0
  for (const o of outlooks)
    variance += o.weight * ((o.scale / T8_SCALE) ** 2 + (o.mean - mean) * (o.mean - mean))
  return { mean, sd: Math.sqrt(variance) }
}

export interface Circumstances {
  y: number
  shape: ShapeLikelihoods
  /** Years since the last test, 0.02 to 3. */
  dtYears: number
  /** Steps can be told: there is an earlier test and no recorded work in between. */
  stepsPossible: boolean
  oneReadingSlip: boolean
  /** Product of rounding cells when the sheet repeats an earlier one; else null. */
  repeatedCells: number | null
}

/**
 * Joint weights, one for each cause; `wrong-electrode` is filled in later from the rest of the visit. `pendingStep` is the part
 * of rise or fall that is the step still to be settled.
 */
export function causeWeights(
  outlooks: readonly Outlook[],
  c: Circumstances,
  b: Beliefs,
): { weights: number[]; pendingStep: number } {
  let pendingStep = 0
  const w = new Array<number>(CAUSES.length).fill(0)
  const y = c.y
  const sN = c.shape.normal
  const rise = b.rateRise * c.dtYears
  const fall = b.rateFall * c.dtYears + b.rateFallOnce
  const oneOff =
    b.rateDecimal + b.rateUnit + b.rateRepeated + b.rateWrongElectrode + b.rateTooClose + b.rateOutOfOrder
  const p0 = Math.max(0.1, 1 - oneOff - rise - fall)
  for (const o of outlooks) {
    const d = t8Density(y, o.mean, o.scale)
    const plain = o.weight * p0 * d * sN
    const kind = o.story.kind
    const up = o.story.fit.x3 > 0
    if (kind === 'pending-step') pendingStep += plain
    if (kind === 'ramp') w[3] = w[3]! + plain
    else if (kind === 'pending-step' || (kind === 'small-step' && o.story.recent))
      w[up ? 1 : 2] = w[up ? 1 : 2]! + plain
    else w[0] = w[0]! + plain
    if (c.stepsPossible) {
      // Sizes: most steps between 1.2 and 6.4 times, some up to 13 times, where a slip of the point looks the same.
      const near = t8Between(y - 1.85, y - 0.18, o.mean, o.scale) / 1.67
      const far = t8Between(y - 2.6, y - 1.85, o.mean, o.scale) / 0.75
      w[1] = w[1]! + o.weight * rise * (0.8 * near + 0.2 * far) * sN
      w[2] = w[2]! + (o.weight * fall * t8Between(y + 0.18, y + 2.4, o.mean, o.scale) * sN) / 2.22
    }
    const tenfold =
      0.35 * (t8Density(y - Math.LN10, o.mean, o.scale) + t8Density(y + Math.LN10, o.mean, o.scale))
    w[4] = w[4]! + o.weight * b.rateDecimal * (tenfold * sN + (c.oneReadingSlip ? 0.9 * d : 0))
    const thousand =
      0.5 * (t8Density(y - 3 * Math.LN10, o.mean, o.scale) + t8Density(y + 3 * Math.LN10, o.mean, o.scale))
    w[5] = w[5]! + o.weight * b.rateUnit * thousand * sN
    const closeScale = Math.sqrt(o.scale * o.scale + 0.0064)
    w[8] = w[8]! + o.weight * b.rateTooClose * t8Density(y, o.mean - 0.07, closeScale) * c.shape.tooClose
    w[9] = w[9]! + o.weight * b.rateOutOfOrder * d * c.shape.outOfOrder
  }
  if (c.repeatedCells !== null) w[6] = (b.rateRepeated * 0.98) / Math.max(1e-30, c.repeatedCells)
  return { weights: w, pendingStep }
}

/** Weights to chances that add to one; when nothing explains the value at all, a rise or fall by its sign. */
export function normalise(weights: readonly number[], off: number): number[] {
  const sum = weights.reduce((a, b) => a + b, 0)
  if (!(sum > 0) || !Number.isFinite(sum)) return CAUSES.map((_, i) => (i === (off > 0 ? 1 : 2) ? 1 : 0))
  return weights.map((w) => w / sum)
}
