import { type ElectrodeShape, formDoubt, relativeStrengthM } from '../earth/electrode-shape.ts'
import { probeToProbeM } from '../earth/fall-of-potential.ts'
import { layerTermsPerM, type SoilGuess } from '../earth/layered-line.ts'
import { type Average, newAverage, type Weighed } from './running-average.ts'

/**
 * R(x) = R − K F(x) over many soils, origins of the tape and noise levels, each weighed by how well it explains the readings
 * (Bayesian model average). For given soil, origin and noise the model is linear in R and K, so each costs a few additions; readings left
 * out or exchanged only change the sums, so those are weighed in the same pass.
 */

/** What is weighed: values are readings divided by a typical one, so that R is near 1. */
export interface LineData {
  potentialProbeM: readonly number[]
  value: readonly number[]
  currentProbeM: number
  angleDeg: number
  /** Standard uncertainty of one value by the display's step. */
  stepValue: number
}

/** The readings as they are, without one, or with two exchanged (by index). */
export type Variant =
  | { kind: 'all' }
  | { kind: 'without'; index: number }
  | { kind: 'exchanged'; first: number; second: number }

/** Relative noise of one reading, with the belief in each beforehand: field repeatability of 0.2 to 3 %. Our own estimate, no source. */
const NOISE = [0.002, 0.004, 0.008, 0.016, 0.03] as const
const NOISE_LOG_WEIGHT = [0.15, 0.25, 0.3, 0.22, 0.08].map(Math.log)
/** Stakes stand where the record says within this, m. */
const STAKE_M = 0.1

/** One average for each variant, in their order. */
export function weighModels(
  data: LineData,
  shape: ElectrodeShape,
  soils: readonly SoilGuess[],
  variants: readonly Variant[],
): Weighed[] {
  const n = data.value.length
  const averages = variants.map(() => newAverage())
  const D = data.currentProbeM
  const fall = new Float64Array(n)
  const own = new Float64Array(n)
  const weights = new Float64Array(n)
  for (const origin of shape.origins) {
    const far = D + origin.offsetM
    const electrodeM = data.potentialProbeM.map((x) => x + origin.offsetM)
    const probeM = electrodeM.map((x) => Math.max(1e-6, probeToProbeM(x, far, data.angleDeg)))
    const distances = [far, ...electrodeM, ...probeM]
    const logs = distances.map(Math.log)
    const layers = new Float64Array(distances.length)
    const bareFar = shape.surfaceTermPerM(far)
    const bare = electrodeM.map((x, i) => shape.surfaceTermPerM(x) + bareFar - 1 / probeM[i]!)
    for (const soil of soils) {
      const strength = relativeStrengthM(shape, soil)
      if (!(strength > 0)) continue
      layerTermsPerM(distances, logs, soil, layers)
      const near = formDoubt(shape, soil) * shape.sizeM ** 2
      for (let i = 0; i < n; i++) {
        const r = electrodeM[i]!
        fall[i] = bare[i]! + layers[0]! + layers[1 + i]! - layers[1 + n + i]!
        const stake = strength * (1 / r ** 2 + 1 / probeM[i]! ** 2) * STAKE_M
        const form = (strength * near) / r ** 3
        own[i] = stake * stake + form * form + data.stepValue ** 2
      }
      const prior = Math.log(origin.weight * soil.weight)
      for (let s = 0; s < NOISE.length; s++) {
        const noise = NOISE[s]!
        for (let i = 0; i < n; i++) weights[i] = 1 / (noise * noise + own[i]!)
        weighOne(
          data.value,
          fall,
          weights,
          strength,
          shape.hemisphereDoubt,
          prior + NOISE_LOG_WEIGHT[s]!,
          soil.contrast === 0,
          noise,
          variants,
          averages,
        )
      }
    }
  }
  return averages.map((average) => average.result())
}

/** One soil, origin and noise for every variant: least squares in R and K with a prior on K, none on R. */
function weighOne(
  y: readonly number[],
  fall: Float64Array,
  weights: Float64Array,
  strength: number,
  doubt: number,
  logPrior: number,
  uniform: boolean,
  noise: number,
  variants: readonly Variant[],
  averages: readonly Average[],
): void {
  const priorWeight = 1 / (doubt * strength) ** 2
  let s = 0
  let sf = 0
  let sff = priorWeight
  let sy = 0
  let sfy = -strength * priorWeight
  let syy = strength * strength * priorWeight
  let logWeights = Math.log(priorWeight)
  let product = 1
  for (let i = 0; i < y.length; i++) {
    const w = weights[i]!
    const wf = w * fall[i]!
    s += w
    sf += wf
    sff += wf * fall[i]!
    sy += w * y[i]!
    sfy += wf * y[i]!
    syy += w * y[i]! * y[i]!
    product *= w
    if (product > 1e250) {
      logWeights += Math.log(product)
      product = 1
    }
  }
  logWeights += Math.log(product)
  for (let v = 0; v < variants.length; v++) {
    const variant = variants[v]!
    if (variant.kind === 'all') {
      add(averages[v]!, s, sf, sff, sy, sfy, syy, logWeights)
    } else if (variant.kind === 'without') {
      const w = weights[variant.index]!
      const f = fall[variant.index]!
      const value = y[variant.index]!
      add(
        averages[v]!,
        s - w,
        sf - w * f,
        sff - w * f * f,
        sy - w * value,
        sfy - w * f * value,
        syy - w * value * value,
        logWeights - Math.log(w),
      )
    } else {
      const { first, second } = variant
      const change = y[second]! - y[first]!
      const [w1, w2] = [weights[first]!, weights[second]!]
      const squares = y[second]! ** 2 - y[first]! ** 2
      add(
        averages[v]!,
        s,
        sf,
        sff,
        sy + (w1 - w2) * change,
        sfy + (w1 * fall[first]! - w2 * fall[second]!) * change,
        syy + (w1 - w2) * squares,
        logWeights,
      )
    }
  }
  function add(to: Average, a: number, b: number, c: number, d: number, e: number, f: number, logs: number) {
    const determinant = a * c - b * b
    if (!(determinant > 0)) return
    const value = (d * c - b * e) / determinant
    const misfit = f - value * d + ((b * d - a * e) / determinant) * e
    to.add(logPrior + 0.5 * (logs - misfit - Math.log(determinant)), value, c / determinant, uniform, noise)
  }
}
