import { describe, expect, it } from 'vitest'
import { DEFAULT_BELIEFS } from '../../../shared-lib/history/model/beliefs.ts'
import { meanAt, varianceAt } from '../../../shared-lib/history/model/prediction.ts'
import { fitFlat, fitWith, flatBase, type Points } from '../../../shared-lib/history/model/regression.ts'

const loading = { x1: 0, x2: 0, v11: 0.1, v12: 0.06, v22: 0.1 }
const points: Points = {
  t: [0, 1, 2, 3.5, 4],
  y: [2.4, 2.55, 2.3, 2.62, 2.7],
  g: [0, 0.1, -0.1, 0.05, 0.1],
  q: [0.02, -0.05, 0.1, 0, 0.03],
  v: [1.2, 1.1, 1.5, 1, 1.3],
}
const level = { mean: 2.3, variance: 0.2 }

/** Solves A·x = b by elimination: a second, plainer way to the same answer. */
function solve(a: number[][], b: number[]): number[] {
  const m = a.map((row, i) => [...row, b[i]!])
  for (let i = 0; i < m.length; i++)
    for (let k = 0; k < m.length; k++) {
      if (k === i) continue
      const f = m[k]![i]! / m[i]![i]!
      for (let j = i; j <= m.length; j++) m[k]![j] = m[k]![j]! - f * m[i]![j]!
    }
  return m.map((row, i) => row.at(-1)! / row[i]!)
}

/** Normal equations of the same regression, written out. */
function direct(f: (t: number) => number, priorSd: number): { x: number[]; a: number[][] } {
  const s0 = DEFAULT_BELIEFS.noiseSd ** 2
  const det = loading.v11 * loading.v22 - loading.v12 ** 2
  const a = [
    [s0 / level.variance, 0, 0, 0],
    [0, (s0 * loading.v22) / det, (-s0 * loading.v12) / det, 0],
    [0, (-s0 * loading.v12) / det, (s0 * loading.v11) / det, 0],
    [0, 0, 0, s0 / priorSd ** 2],
  ]
  const b = [(s0 / level.variance) * level.mean, 0, 0, 0]
  points.t.forEach((t, k) => {
    const x = [1, points.g[k]!, points.q[k]!, f(t)]
    const w = 1 / points.v[k]!
    for (let i = 0; i < 4; i++) {
      b[i] = b[i]! + w * x[i]! * (points.y[k]! - points.g[k]!)
      for (let j = 0; j < 4; j++) a[i]![j] = a[i]![j]! + w * x[i]! * x[j]!
    }
  })
  return { x: solve(a, b), a }
}

describe('the regression of an electrode on its own history', () => {
  const base = flatBase(points, level, loading, DEFAULT_BELIEFS)

  it('gives with one added row what solving the whole system gives', () => {
    const tau = 1.5
    const ramp = fitWith(base, 'ramp', tau, 0.08)
    const expected = direct((t) => (t > tau ? (t - tau) ** 2 : 0), 0.08)
    for (const [i, x] of [ramp.x0, ramp.x1, ramp.x2, ramp.x3].entries())
      expect(x).toBeCloseTo(expected.x[i]!, 9)
  })

  it('states the variance of a prediction as the quadratic form of the inverse', () => {
    const step = fitWith(base, 'step', 3, 0.7)
    const { a } = direct((t) => (t > 3 ? 1 : 0), 0.7)
    const x = [1, 0.2, -0.1, 1]
    const form = solve(a, x).reduce((sum, v, i) => sum + v * x[i]!, 0)
    expect(varianceAt(step, 0.2, -0.1, 5)).toBeCloseTo(step.noiseVar * form, 9)
  })

  it('finds a step where there is one, and prefers the history with it', () => {
    const stepped = { ...points, y: [2.3, 2.32, 2.29, 2.9, 2.93] }
    const b = flatBase(stepped, level, loading, DEFAULT_BELIEFS)
    const flat = fitFlat(b)
    const step = fitWith(b, 'step', 3, 0.7)
    expect(step.lnEvidence - flat.lnEvidence).toBeGreaterThan(3)
    expect(meanAt(step, 0, 0, 5)).toBeGreaterThan(2.75)
    expect(meanAt(flat, 0, 0, 5)).toBeLessThan(2.75)
  })

  it('knows only its prior when there are no tests', () => {
    const empty = flatBase({ t: [], y: [], g: [], q: [], v: [] }, level, loading, DEFAULT_BELIEFS)
    const fit = fitFlat(empty)
    expect(fit.lnEvidence).toBeCloseTo(0, 9)
    expect(meanAt(fit, 0, 0, 1)).toBeCloseTo(2.3, 9)
    expect(varianceAt(fit, 0, 0, 1)).toBeCloseTo(0.2, 9)
  })
})
