import { Z95 } from './normal.ts'
import { medianOr } from './robust-scale.ts'

export interface SenSlope {
  /** Median of all pairwise slopes, in units of y per unit of t. */
  slope: number
  /** median(y) − slope·median(t). */
  intercept: number
  /** 95 % interval by Gilbert's method; null where the ranks fall outside the slopes there are. */
  low: number | null
  high: number | null
  pairs: number
}

/**
 * Theil-Sen slope with Gilbert's interval (EPA Unified Guidance 2009, ch. 21): ranks (N ± z·sd(S))/2 among the N sorted
 * pairwise slopes, interpolated. `variance` is that of Mann-Kendall's S. Pairs at the same time have no slope and are left out.
 * Null when no pair has a slope or a number is not finite.
 */
export function senSlope(
  times: readonly number[],
  values: readonly number[],
  variance: number | null,
): SenSlope | null {
  if (times.length !== values.length || ![...times, ...values].every(Number.isFinite)) return null
  const slopes: number[] = []
  for (let j = 1; j < times.length; j++)
    for (let i = 0; i < j; i++) {
      const dt = times[j]! - times[i]!
      if (dt !== 0) slopes.push((values[j]! - values[i]!) / dt)
    }
  if (slopes.length === 0) return null
  slopes.sort((a, b) => a - b)
  const slope = medianOr(slopes, 0)
  const intercept = medianOr(values, 0) - slope * medianOr(times, 0)
  return { slope, intercept, pairs: slopes.length, ...gilbertInterval(slopes, variance) }
}

function gilbertInterval(
  sorted: readonly number[],
  variance: number | null,
): { low: number | null; high: number | null } {
  if (variance === null || !(variance > 0)) return { low: null, high: null }
  const c = Z95 * Math.sqrt(variance)
  return { low: atRank(sorted, (sorted.length - c) / 2), high: atRank(sorted, (sorted.length + c) / 2 + 1) }
}

/** Value at a 1-based, possibly fractional rank. */
function atRank(sorted: readonly number[], rank: number): number | null {
  if (rank < 1 || rank > sorted.length) return null
  const below = Math.floor(rank)
  const lower = sorted[below - 1]!
  const upper = sorted[Math.min(sorted.length, below + 1) - 1]!
  return lower + (rank - below) * (upper - lower)
}
