import { type Belief, openBelief } from './belief.ts'
import type { LineModels } from './line-models.ts'

/** Readings divided by a typical one, so that R is near 1. */
export interface LineValues {
  value: Float64Array
  /** Variance of one value by the display's step. */
  stepVariance: number
  /** ln of the typical reading, ohm. */
  lnTypicalOhm: number
}

/** What all models together make of the readings, in the units of the values. */
export interface Weighed extends Belief {
  /** Each reading less the most probable model's curve; empty when no model had an answer. */
  residuals: number[]
}

/** Relative noise of one reading, with the belief in each beforehand: field repeatability of 0.2 to 3 %. Our own estimate, no source. */
const NOISE = levelsOf([0.002, 0.15], [0.004, 0.25], [0.008, 0.3], [0.016, 0.22], [0.03, 0.08])
/** The same in three steps: more cannot be told apart from a handful of readings. */
const NOISE_OF_FEW = levelsOf([0.003, 0.35], [0.009, 0.4], [0.024, 0.25])
/** Up to this many readings count as a handful. */
export const FEW = 5

interface NoiseLevels {
  relative: Float64Array
  logWeight: Float64Array
}

function levelsOf(...levels: [noise: number, weight: number][]): NoiseLevels {
  return {
    relative: Float64Array.from(levels, ([noise]) => noise),
    logWeight: Float64Array.from(levels, ([, weight]) => Math.log(weight)),
  }
}

/**
 * Weighs every soil, origin and noise level by how well it explains the readings (Bayesian model average). For each the model is linear in
 * R (nothing known beforehand) and in the strength s (known within its doubt), so its evidence has a closed form. `leftOut` and `alsoOut` are
 * the indexes of readings to be disregarded, −1 for none; `leastEvidence` as in `belief.ts`.
 */
export function weighModels(
  models: LineModels,
  data: LineValues,
  leftOut = -1,
  alsoOut = -1,
  leastEvidence?: number,
): Weighed {
  const { count, positions: n, fall, own } = models
  const y = data.value
  const few = n <= FEW
  const { relative, logWeight } = few ? NOISE_OF_FEW : NOISE
  const levels = relative.length
  const belief = openBelief(count * levels)
  let bestLog = Number.NEGATIVE_INFINITY
  let bestModel = -1
  let bestValue = 1
  let bestStrength = 1
  for (let m = 0; m < count; m++) {
    const off = models.lnUpperOff[m]! + data.lnTypicalOhm
    const prior = models.logPrior[m]! - models.topsoilWeight[m]! * off * off
    if (!(prior > Number.NEGATIVE_INFINITY)) continue
    const strengthWeight = models.strengthWeight[m]!
    const row = m * n
    // A handful of readings in the middle of the line are equally sure: one weight serves all, and their sums every noise level.
    let count1 = 0
    let ownSum = 0
    let f1 = 0
    let f2 = 0
    let y1 = 0
    let y2 = 0
    let fy = 0
    if (few)
      for (let i = 0; i < n; i++) {
        if (i === leftOut || i === alsoOut) continue
        const f = fall[row + i]!
        const v = y[i]!
        count1++
        ownSum += own[row + i]!
        f1 += f
        f2 += f * f
        y1 += v
        y2 += v * v
        fy += f * v
      }
    const ownMean = ownSum / count1
    for (let level = 0; level < levels; level++) {
      const square = relative[level]! * relative[level]! + data.stepVariance
      // Normal equations in R and in the strength as a share of what is expected, which is 1 within its doubt.
      let s = 0
      let sf = 0
      let sff = strengthWeight
      let sy = 0
      let sfy = -strengthWeight
      let syy = strengthWeight
      let product = strengthWeight
      let logWeights = 0
      if (few) {
        const w = 1 / (square + ownMean)
        s = w * count1
        sf = w * f1
        sff += w * f2
        sy = w * y1
        sfy += w * fy
        syy += w * y2
        for (let i = 0; i < count1; i++) product *= w
      } else
        for (let i = 0; i < n; i++) {
          if (i === leftOut || i === alsoOut) continue
          const w = 1 / (square + own[row + i]!)
          const f = fall[row + i]!
          const v = y[i]!
          const wf = w * f
          s += w
          sf += wf
          sff += wf * f
          sy += w * v
          sfy += wf * v
          syy += w * v * v
          product *= w
          if (product > 1e250) {
            logWeights += Math.log(product)
            product = 1
          }
        }
      const determinant = s * sff - sf * sf
      if (!(determinant > 0)) continue
      const value = (sy * sff - sf * sfy) / determinant
      const strength = (sf * sy - s * sfy) / determinant
      const misfit = syy - value * sy + strength * sfy
      const log = prior + logWeight[level]! + 0.5 * (logWeights + Math.log(product / determinant) - misfit)
      if (!(log > Number.NEGATIVE_INFINITY && log < Number.POSITIVE_INFINITY)) continue
      belief.add(log, value, sff / determinant, models.uniform[m]!, relative[level]!)
      if (log > bestLog) {
        bestLog = log
        bestModel = m
        bestValue = value
        bestStrength = strength
      }
    }
  }
  const residuals: number[] = []
  if (bestModel >= 0)
    for (let i = 0; i < n; i++) residuals.push(y[i]! - bestValue + bestStrength * fall[bestModel * n + i]!)
  return { ...belief.result(leastEvidence), residuals }
}
