import type { Beliefs } from './beliefs.ts'
import { lnGamma } from './student.ts'

/**
 * An electrode's own history as a conjugate (normal-inverse-gamma) regression:
 * y − G = x0 + x1·G + x2·Q + x3·f(t) + e, with G the site's common mode, Q its rate of change, f a step or a ramp.
 * 1 + x1 is the loading, x2 the lag. Units: ln ohm, years.
 */

/** Usable tests of the present baseline, in order of time. */
export interface Points {
  t: number[]
  y: number[]
  g: number[]
  q: number[]
  /** Relative variance of the test, in units of the electrode's own noise. */
  v: number[]
}

export interface LevelPrior {
  mean: number
  variance: number
}

/** Belief about loading less one, and lag. */
export interface LoadingPrior {
  x1: number
  x2: number
  v11: number
  v12: number
  v22: number
}

type Shape = 'flat' | 'step' | 'ramp'

/** A fitted history: posterior mean, Cholesky factor of the precision, noise variance. */
export interface Fit {
  shape: Shape
  /** Time from which step or ramp counts. */
  tau: number
  lnEvidence: number
  noiseVar: number
  x0: number
  x1: number
  x2: number
  x3: number
  /** Standard deviation of x3; 0 when flat. */
  x3Sd: number
  l: readonly number[]
}

/** The flat fit in its factored form, from which every step and ramp is one more row. */
export interface FlatBase {
  points: Points
  l11: number
  l21: number
  l22: number
  l31: number
  l32: number
  l33: number
  u1: number
  u2: number
  u3: number
  quadratic: number
  lnVariances: number
  lnDetPrior: number
  noiseVar0: number
  a0: number
}

const TINY = 1e-12

export function flatBase(points: Points, level: LevelPrior, loading: LoadingPrior, b: Beliefs): FlatBase {
  const s0 = b.noiseSd * b.noiseSd
  const p0 = s0 / level.variance
  const det = Math.max(TINY, loading.v11 * loading.v22 - loading.v12 * loading.v12)
  const p11 = (s0 * loading.v22) / det
  const p22 = (s0 * loading.v11) / det
  const p12 = (-s0 * loading.v12) / det
  let a11 = p0
  let a21 = 0
  let a22 = p11
  let a31 = 0
  let a32 = p12
  let a33 = p22
  const r20 = p11 * loading.x1 + p12 * loading.x2
  const r30 = p12 * loading.x1 + p22 * loading.x2
  let r1 = p0 * level.mean
  let r2 = r20
  let r3 = r30
  let quadratic = p0 * level.mean * level.mean + loading.x1 * r20 + loading.x2 * r30
  let lnVariances = 0
  for (let k = 0; k < points.t.length; k++) {
    const w = 1 / points.v[k]!
    const g = points.g[k]!
    const q = points.q[k]!
    const z = points.y[k]! - g
    a11 += w
    a21 += w * g
    a22 += w * g * g
    a31 += w * q
    a32 += w * g * q
    a33 += w * q * q
    r1 += w * z
    r2 += w * g * z
    r3 += w * q * z
    quadratic += w * z * z
    lnVariances -= Math.log(w)
  }
  const l11 = Math.sqrt(Math.max(TINY, a11))
  const l21 = a21 / l11
  const l22 = Math.sqrt(Math.max(TINY, a22 - l21 * l21))
  const l31 = a31 / l11
  const l32 = (a32 - l31 * l21) / l22
  const l33 = Math.sqrt(Math.max(TINY, a33 - l31 * l31 - l32 * l32))
  const u1 = r1 / l11
  const u2 = (r2 - l21 * u1) / l22
  const u3 = (r3 - l31 * u1 - l32 * u2) / l33
  const lnDetPrior = Math.log(p0) + Math.log(Math.max(TINY, p11 * p22 - p12 * p12))
  return {
    points,
    l11,
    l21,
    l22,
    l31,
    l32,
    l33,
    u1,
    u2,
    u3,
    quadratic,
    lnVariances,
    lnDetPrior,
    noiseVar0: s0,
    a0: b.noiseShape,
  }
}

export function fitFlat(base: FlatBase): Fit {
  return finish(base, 'flat', 0, 0, 0, 0, 0, 0, 0)
}

/** Adds a step or ramp from `tau` with prior standard deviation `priorSd` to the flat fit: one more row of the factor. */
export function fitWith(base: FlatBase, shape: 'step' | 'ramp', tau: number, priorSd: number): Fit {
  const { t, y, g, q, v } = base.points
  const p4 = base.noiseVar0 / (priorSd * priorSd)
  let c1 = 0
  let c2 = 0
  let c3 = 0
  let c4 = p4
  let r4 = 0
  for (let k = t.length - 1; k >= 0; k--) {
    const since = t[k]! - tau
    if (since <= 0) break
    const f = shape === 'step' ? 1 : since * since
    const wf = f / v[k]!
    c1 += wf
    c2 += wf * g[k]!
    c3 += wf * q[k]!
    c4 += wf * f
    r4 += wf * (y[k]! - g[k]!)
  }
  const l41 = c1 / base.l11
  const l42 = (c2 - l41 * base.l21) / base.l22
  const l43 = (c3 - l41 * base.l31 - l42 * base.l32) / base.l33
  const l44 = Math.sqrt(Math.max(TINY, c4 - l41 * l41 - l42 * l42 - l43 * l43))
  const u4 = (r4 - l41 * base.u1 - l42 * base.u2 - l43 * base.u3) / l44
  return finish(base, shape, tau, l41, l42, l43, l44, u4, p4)
}

function finish(
  b: FlatBase,
  shape: Shape,
  tau: number,
  l41: number,
  l42: number,
  l43: number,
  l44: number,
  u4: number,
  p4: number,
): Fit {
  const n = b.points.t.length
  const flat = shape === 'flat'
  const x3 = flat ? 0 : u4 / l44
  const x2 = (b.u3 - l43 * x3) / b.l33
  const x1 = (b.u2 - b.l32 * x2 - l42 * x3) / b.l22
  const x0 = (b.u1 - b.l21 * x1 - b.l31 * x2 - l41 * x3) / b.l11
  const explained = b.u1 * b.u1 + b.u2 * b.u2 + b.u3 * b.u3 + (flat ? 0 : u4 * u4)
  const an = b.a0 + n / 2
  const b0 = b.a0 * b.noiseVar0
  const bn = Math.max(b0 * 0.05, b0 + 0.5 * (b.quadratic - explained))
  const lnDet = 2 * Math.log(b.l11 * b.l22 * b.l33 * (flat ? 1 : l44))
  const lnEvidence =
    -0.5 * b.lnVariances +
    0.5 * (b.lnDetPrior + (flat ? 0 : Math.log(p4)) - lnDet) +
    b.a0 * Math.log(b0) -
    an * Math.log(bn) +
    halfGamma(b.a0, n) -
    (n / 2) * Math.log(2 * Math.PI)
  const noiseVar = bn / an
  return {
    shape,
    tau,
    lnEvidence,
    noiseVar,
    x0,
    x1,
    x2,
    x3,
    x3Sd: flat ? 0 : Math.sqrt(noiseVar) / l44,
    l: [b.l11, b.l21, b.l22, b.l31, b.l32, b.l33, l41, l42, l43, l44],
  }
}

const gammaCache = new Map<number, number>()

/** ln Γ(a0 + n/2) − ln Γ(a0), remembered: the same few values come again and again. */
function halfGamma(a0: number, n: number): number {
  const key = a0 * 1024 + n
  const known = gammaCache.get(key)
  if (known !== undefined) return known
  const value = lnGamma(a0 + n / 2) - lnGamma(a0)
  if (gammaCache.size < 4096) gammaCache.set(key, value)
  return value
}
