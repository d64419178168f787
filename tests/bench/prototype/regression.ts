import { FIXED, type Learnt } from './beliefs.ts'
import { cholesky, forward, solve } from './robust.ts'

/** A usable test of the present baseline: `c` its variance in units of the noise. */
export interface Point {
  t: number
  y: number
  g: number
  q: number
  c: number
}

/** Loading and lag: means and covariance. */
export interface Loading {
  mean: [number, number]
  cov: [[number, number], [number, number]]
}

const CROSS = FIXED.loadingLagCorrelation * Math.sqrt(FIXED.loadingVar * FIXED.lagVar)
export const LOADING: Loading = {
  mean: [0, 0],
  cov: [
    [FIXED.loadingVar, CROSS],
    [CROSS, FIXED.lagVar],
  ],
}

/** What happened at `tau`: a step from then on, or a ramp. */
export interface Past {
  kind: 'none' | 'step' | 'ramp'
  tau: number
}

export interface Fit {
  past: Past
  x: number[]
  chol: number[][]
  noiseVar: number
  lnEvidence: number
}

const effect = (p: Past, t: number) =>
  p.kind === 'step' ? (t >= p.tau ? 1 : 0) : p.kind === 'ramp' ? Math.max(0, t - p.tau) ** 2 : 0

/** Regression with a normal-inverse-gamma prior of level, loading, lag and what happened. */
export function fitted(
  points: readonly Point[],
  past: Past,
  tNow: number,
  level: { mean: number; variance: number },
  loading: Loading,
  learnt: Learnt,
): Fit {
  const s0 = learnt.noiseSd ** 2
  const a0 = FIXED.noiseShape
  const n = past.kind === 'none' ? 3 : 4
  const [[p, c], [, r]] = loading.cov
  const det = p * r - c * c
  const prior = Array.from({ length: n }, () => new Array<number>(n).fill(0))
  prior[0]![0] = s0 / level.variance
  prior[1]![1] = (s0 * r) / det
  prior[2]![2] = (s0 * p) / det
  prior[1]![2] = prior[2]![1] = (-s0 * c) / det
  if (n === 4) prior[3]![3] = s0 / (past.kind === 'ramp' ? FIXED.rampSd ** 2 : FIXED.stepSd ** 2)
  const m0 = [level.mean, ...loading.mean, 0].slice(0, n)
  const a = prior.map((row) => [...row])
  const rhs = prior.map((row) => row.reduce((s, v, j) => s + v * m0[j]!, 0))
  let squares = m0.reduce((s, m, i) => s + m * rhs[i]!, 0)
  let lnV = 0
  for (const o of points) {
    const x = [1, o.g, o.q, effect(past, o.t)]
    const v = o.c + (FIXED.wanderVar / s0) * Math.max(0, tNow - o.t)
    const z = o.y - o.g
    for (let i = 0; i < n; i++) {
      rhs[i]! += (x[i]! * z) / v
      for (let j = 0; j < n; j++) a[i]![j]! += (x[i]! * x[j]!) / v
    }
    squares += (z * z) / v
    lnV += Math.log(v)
  }
  const chol = cholesky(a)
  const x = solve(chol, rhs)
  const an = a0 + points.length / 2
  const bn = a0 * s0 + 0.5 * Math.max(0, squares - x.reduce((s, v, i) => s + v * rhs[i]!, 0))
  const lnDet = (l: number[][]) => l.reduce((s, row, i) => s + 2 * Math.log(row[i]!), 0)
  let lnEvidence =
    -0.5 * lnV +
    0.5 * (lnDet(cholesky(prior)) - lnDet(chol)) +
    a0 * Math.log(a0 * s0) -
    an * Math.log(bn) +
    lnGamma(an) -
    lnGamma(a0) -
    (points.length / 2) * Math.log(2 * Math.PI)
  const noiseVar = bn / an
  if (past.kind === 'ramp') {
    const sd = Math.sqrt(noiseVar) / chol[3]![3]!
    lnEvidence += Math.log(Math.max(1e-300, 2 * normalBelow(x[3]! / sd)))
  }
  return { past, x, chol, noiseVar, lnEvidence }
}

/** ln R expected at common mode `g`, and the variance of that expectation without noise. */
export function predict(f: Fit, g: number, q: number, t: number): { mean: number; variance: number } {
  const x = [1, g, q, effect(f.past, t)].slice(0, f.x.length)
  const u = forward(f.chol, x)
  return {
    mean: g + x.reduce((s, v, i) => s + v * f.x[i]!, 0),
    variance: f.noiseVar * u.reduce((s, v) => s + v * v, 0),
  }
}

/** The loading as learnt, for a new baseline. */
export function loadingOf(f: Fit): Loading {
  const n = f.x.length
  const column = (k: number) =>
    solve(
      f.chol,
      Array.from({ length: n }, (_, i) => (i === k ? 1 : 0)),
    )
  const one = column(1)
  const two = column(2)
  const s = f.noiseVar / 0.9
  return {
    mean: [f.x[1]!, f.x[2]!],
    cov: [
      [s * one[1]!, s * one[2]!],
      [s * two[1]!, s * two[2]!],
    ],
  }
}

/** ln Γ by Stirling's series after shifting up. */
function lnGamma(x: number): number {
  let shift = 0
  let z = x
  while (z < 8) {
    shift += Math.log(z)
    z++
  }
  return (z - 0.5) * Math.log(z) - z + 0.5 * Math.log(2 * Math.PI) + 1 / (12 * z) - 1 / (360 * z ** 3) - shift
}

/** Φ by Abramowitz and Stegun 26.2.17. */
function normalBelow(x: number): number {
  const k = 1 / (1 + 0.2316419 * Math.abs(x))
  const poly =
    k * (0.31938153 + k * (-0.356563782 + k * (1.781477937 + k * (-1.821255978 + k * 1.330274429))))
  const tail = (Math.exp(-0.5 * x * x) / Math.sqrt(2 * Math.PI)) * poly
  return x > 0 ? 1 - tail : tail
}
