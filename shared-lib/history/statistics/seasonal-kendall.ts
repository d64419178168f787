import { mannKendall, significance } from './mann-kendall.ts'
import { medianOr } from './robust-scale.ts'

export interface SeasonalKendall {
  s: number
  variance: number
  z: number
  pValue: number
  /** Median of the slopes within seasons, units of y per unit of t. */
  slope: number
}

/**
 * Seasonal Kendall test (Hirsch and Slack; EPA Unified Guidance 2009, ch. 14): Mann-Kendall inside each season, summed.
 * Comparing like months only, it sees a trend through a strong season. Entries in any order; null when no season has three.
 */
export function seasonalKendall(
  entries: readonly { t: number; y: number; season: number }[],
): SeasonalKendall | null {
  const seasons = new Map<number, { t: number; y: number }[]>()
  for (const e of [...entries].sort((a, b) => a.t - b.t)) {
    const list = seasons.get(e.season) ?? []
    list.push(e)
    seasons.set(e.season, list)
  }
  let s = 0
  let variance = 0
  const slopes: number[] = []
  for (const list of seasons.values()) {
    const within = mannKendall(list.map((e) => e.y))
    if (within === null) continue
    s += within.s
    variance += within.variance
    for (let j = 1; j < list.length; j++)
      for (let i = 0; i < j; i++) {
        const dt = list[j]!.t - list[i]!.t
        if (dt > 0) slopes.push((list[j]!.y - list[i]!.y) / dt)
      }
  }
  if (!(variance > 0) || slopes.length === 0) return null
  return { s, variance, ...significance(s, variance), slope: medianOr(slopes, 0) }
}
