import { twoSidedP } from './normal.ts'

export interface MannKendall {
  n: number
  /** Pairs that rise less pairs that fall. */
  s: number
  /** Variance of S with the correction for equal values. */
  variance: number
  /** Continuity corrected; 0 when S is 0 or all values are equal. */
  z: number
  /** Two-sided, normal approximation. */
  pValue: number
}

/**
 * Mann-Kendall test for trend: do later values tend to be larger? Values in order of time, any unit; no unit in the answer.
 * Variance with ties (n(n−1)(2n+5) − Σ g(g−1)(2g+5))/18 and continuity correction as in the EPA Unified Guidance 2009, ch. 17.
 * Null with fewer than three values or a value that is not finite: nothing can be said then.
 */
export function mannKendall(values: readonly number[]): MannKendall | null {
  const n = values.length
  if (n < 3 || !values.every(Number.isFinite)) return null
  let s = 0
  let tied = false
  for (let j = 1; j < n; j++) {
    const later = values[j]!
    for (let i = 0; i < j; i++) {
      if (later > values[i]!) s++
      else if (later < values[i]!) s--
      else tied = true
    }
  }
  const variance = (n * (n - 1) * (2 * n + 5) - (tied ? tieTerm(values) : 0)) / 18
  return { n, s, variance, ...significance(s, variance) }
}

/** z with continuity correction and its two-sided p; no trend at all (z 0, p 1) when the variance is 0. */
export function significance(s: number, variance: number): { z: number; pValue: number } {
  const z = variance > 0 ? (s - Math.sign(s)) / Math.sqrt(variance) : 0
  return { z, pValue: twoSidedP(z) }
}

function tieTerm(values: readonly number[]): number {
  const groups = new Map<number, number>()
  for (const v of values) groups.set(v, (groups.get(v) ?? 0) + 1)
  let term = 0
  for (const g of groups.values()) term += g * (g - 1) * (2 * g + 5)
  return term
}
