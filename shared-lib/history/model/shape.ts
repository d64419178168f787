import type { Beliefs } from './beliefs.ts'
import type { Sighting } from './sighting.ts'

/** How well three readings fit each reason for their shape; densities of the two log differences, or 1 where there is no shape. */
export interface ShapeLikelihoods {
  normal: number
  tooClose: number
  outOfOrder: number
}

/** An electrode's own steepness, ln over the formula's, as learnt so far. */
export interface ShapeBelief {
  mean: number
  variance: number
}

const NO_SHAPE: ShapeLikelihoods = { normal: 1, tooClose: 1, outOfOrder: 1 }
/** One wild reading: no reason for a shape holds, only the slip does. */
const SPOILT: ShapeLikelihoods = { normal: 1e-9, tooClose: 1e-9, outOfOrder: 1e-9 }

const NODES = [-1.8, -0.9, 0, 0.9, 1.8]
const NODE_WEIGHTS = [0.075, 0.24, 0.37, 0.24, 0.075]
const CLOSE_KAPPAS = [0.11, 0.15, 0.19, 0.23, 0.27, 0.31, 0.35, 0.39]
/** 1/(1−p) − 1/p − 1 at 52, 62 and 72 %. */
const BEND = [0.52, 0.62, 0.72].map((p) => 1 / (1 - p) - 1 / p - 1) as [number, number, number]
const ORDERS: readonly (readonly [number, number, number])[] = [
  [0, 2, 1],
  [1, 0, 2],
  [1, 2, 0],
  [2, 0, 1],
  [2, 1, 0],
]

/** ln φ at the three positions for κ = hemisphere radius over current-probe distance. */
function lnPhi(kappa: number, i: 0 | 1 | 2): number {
  return Math.log(Math.max(0.02, 1 + kappa * BEND[i]))
}

/** What a probe that stands too close would make of the two differences: the same for every survey. */
const CLOSE_DIFFERENCES = CLOSE_KAPPAS.map((kappa) => {
  const middle = lnPhi(kappa, 1)
  return [lnPhi(kappa, 0) - middle, lnPhi(kappa, 2) - middle] as const
})

/** ln κ that the formula predicts, without the electrode's own factor; a middling one when the size is not known. */
export function lnKappa(lnG: number | null, currentProbeM: number | undefined, beliefs: Beliefs): number {
  if (lnG === null || !currentProbeM || !(currentProbeM > 0)) return Math.log(0.025)
  const hemisphereM = 1 / (2 * Math.PI * Math.exp(lnG))
  return Math.log(Math.min(0.07, hemisphereM / currentProbeM)) + beliefs.shapeOffset
}

/** The three likelihoods of a test's shape. `lnK` from `lnKappa`. */
export function shapeLikelihoods(
  s: Sighting,
  lnK: number,
  own: ShapeBelief,
  beliefs: Beliefs,
): ShapeLikelihoods {
  if (s.oneReadingOffLn !== null) return SPOILT
  if (s.curve === null) return NO_SHAPE
  const v = beliefs.readingSd ** 2 + s.roundingVar
  const sd = Math.sqrt(own.variance + 0.0025)
  const [l52, l62, l72] = s.curve
  let normal = 0
  let outOfOrder = 0
  for (let n = 0; n < 5; n++) {
    const kappa = Math.min(0.1, Math.exp(lnK + own.mean + NODES[n]! * sd))
    const p0 = lnPhi(kappa, 0)
    const p1 = lnPhi(kappa, 1)
    const p2 = lnPhi(kappa, 2)
    const w = NODE_WEIGHTS[n]!
    normal += w * pairDensity(l52 - l62 - (p0 - p1), l72 - l62 - (p2 - p1), v)
    for (const [a, b, c] of ORDERS) {
      const m = s.curve[b]!
      outOfOrder += (w / 5) * pairDensity(s.curve[a]! - m - (p0 - p1), s.curve[c]! - m - (p2 - p1), v)
    }
  }
  let tooClose = 0
  for (const [before, after] of CLOSE_DIFFERENCES)
    tooClose += pairDensity(l52 - l62 - before, l72 - l62 - after, v)
  return { normal: normal + 1e-30, tooClose: tooClose / CLOSE_KAPPAS.length, outOfOrder }
}

/** Density of two differences that share the middle reading: variances 2v each, covariance v. */
function pairDensity(a: number, b: number, v: number): number {
  const quadratic = (2 * (a * a - a * b + b * b)) / (3 * v)
  return Math.exp(-0.5 * quadratic) / (2 * Math.PI * v * Math.sqrt(3))
}

/** Learns the electrode's own steepness from one sound sheet: a scalar Kalman step; unchanged where the curve is too flat to tell. */
export function learnShape(s: Sighting, lnK: number, own: ShapeBelief, beliefs: Beliefs): ShapeBelief {
  if (s.curve === null || s.oneReadingOffLn !== null) return own
  const bend = (Math.exp(s.curve[2] - s.curve[0]) - 1) / 2.04
  if (!(bend > 0.003 && bend < 0.1)) return own
  const innovation = Math.max(-1, Math.min(1, Math.log(bend) - lnK - own.mean))
  const expected = Math.exp(lnK + own.mean)
  const noise = Math.sqrt(beliefs.readingSd ** 2 + s.roundingVar)
  const sd = Math.max(0.1, (1.5 * noise) / (2.04 * Math.max(0.005, expected)))
  const gain = own.variance / (own.variance + sd * sd)
  return {
    mean: own.mean + gain * innovation,
    variance: Math.max(0.0025, own.variance * (1 - gain)),
  }
}
