import type { Learnt } from './beliefs.ts'
import type { Observation } from './observation.ts'

/** The electrode's own steepness over the formula's, ln. */
export interface Steepness {
  mean: number
  variance: number
}

export const STEEPNESS: Steepness = { mean: 0, variance: 0.3 ** 2 + 0.1 ** 2 }

const BEND = [0.52, 0.62, 0.72].map((p) => 1 / (1 - p) - 1 / p - 1) as [number, number, number]
const NODES = [-1.8, -0.9, 0, 0.9, 1.8]
const WEIGHTS = [0.075, 0.24, 0.37, 0.24, 0.075]
const CLOSE = [0.11, 0.15, 0.19, 0.23, 0.27, 0.31, 0.35, 0.39]
const ORDERS = [
  [0, 2, 1],
  [1, 0, 2],
  [1, 2, 0],
  [2, 0, 1],
  [2, 1, 0],
] as const

const lnPhi = (kappa: number, i: number) => Math.log(Math.max(0.02, 1 + kappa * BEND[i]!))
const hemisphereM = (lnG: number) => 1 / (2 * Math.PI * Math.exp(lnG))

/** Likelihoods of the curve: as usual, current probe too close, written out of order. */
export function shapesOf(o: Observation, lnG: number, own: Steepness, learnt: Learnt) {
  if (o.oneSlip) return { normal: 1e-9, close: 1e-9, order: 1e-9 }
  const mu = Math.log(Math.min(0.07, hemisphereM(lnG) / o.probeM)) + learnt.shapeOffset + own.mean
  const sd = Math.sqrt(own.variance + 0.05 ** 2)
  const density = (order: readonly number[], kappa: number) => {
    const l = order.map((i) => o.curve[i]!)
    const v = order.map((i) => learnt.readingSd ** 2 + o.rounding[i]!)
    const a = l[0]! - l[1]! - (lnPhi(kappa, 0) - lnPhi(kappa, 1))
    const b = l[2]! - l[1]! - (lnPhi(kappa, 2) - lnPhi(kappa, 1))
    const va = v[0]! + v[1]!
    const vb = v[2]! + v[1]!
    const c = v[1]!
    const det = va * vb - c * c
    return Math.exp((-0.5 * (vb * a * a - 2 * c * a * b + va * b * b)) / det) / (2 * Math.PI * Math.sqrt(det))
  }
  let normal = 0
  let order = 0
  NODES.forEach((node, n) => {
    const kappa = Math.min(0.1, Math.exp(mu + node * sd))
    normal += WEIGHTS[n]! * density([0, 1, 2], kappa)
    for (const other of ORDERS) order += (WEIGHTS[n]! / 5) * density(other, kappa)
  })
  const close = CLOSE.reduce((s, kappa) => s + density([0, 1, 2], kappa), 0) / CLOSE.length
  return { normal: normal + 1e-30, close: close + 1e-30, order: order + 1e-30 }
}

const steepnessSeen = (o: Observation) => (Math.exp(o.curve[2] - o.curve[0]) - 1) / 2.04

/** Scalar Kalman step by one sound sheet. */
export function learnSteepness(o: Observation, lnG: number, own: Steepness, learnt: Learnt): Steepness {
  const bend = steepnessSeen(o)
  if (o.oneSlip || !(bend > 0.003 && bend < 0.1)) return own
  const kappa0 = (hemisphereM(lnG) / o.probeM) * Math.exp(learnt.shapeOffset)
  const innovation = Math.max(-1, Math.min(1, Math.log(bend / kappa0) - own.mean))
  const sd = Math.max(0.1, (1.5 * learnt.readingSd) / (2.04 * Math.max(0.005, kappa0 * Math.exp(own.mean))))
  const gain = own.variance / (own.variance + sd * sd)
  return { mean: own.mean + gain * innovation, variance: Math.max(0.05 ** 2, own.variance * (1 - gain)) }
}

/** ln of what a curve shows over the formula, for learning the fleet's mean. */
export function shapeOffsetSeen(o: Observation, lnG: number): number | null {
  const bend = steepnessSeen(o)
  return !o.oneSlip && bend > 0.004 && bend < 0.08 ? Math.log(bend / (hemisphereM(lnG) / o.probeM)) : null
}
