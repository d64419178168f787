import { median } from 'simple-statistics'

/** 1/Φ⁻¹(3/4): makes the median absolute deviation estimate the standard deviation of normal data. */
export const MAD_TO_SD = 1.482602218505602

/** Median of the finite values, or `otherwise` when there is none (simple-statistics throws on an empty list and sorts NaN wrongly). */
export function medianOr(values: readonly number[], otherwise: number): number {
  const finite = values.filter(Number.isFinite)
  return finite.length > 0 ? median(finite) : otherwise
}

/** Robust standard deviation 1.4826·median|x − median| of the finite values; `otherwise` with fewer than two. */
export function robustSd(values: readonly number[], otherwise: number): number {
  const finite = values.filter(Number.isFinite)
  if (finite.length < 2) return otherwise
  const centre = median(finite)
  return MAD_TO_SD * median(finite.map((x) => Math.abs(x - centre)))
}

/** Smallest value at which the running weight reaches half of the total; `otherwise` without positive weight. */
export function weightedMedian(
  values: readonly number[],
  weights: readonly number[],
  otherwise: number,
): number {
  const pairs = values
    .map((value, i) => ({ value, weight: weights[i] ?? 0 }))
    .filter((p) => Number.isFinite(p.value) && Number.isFinite(p.weight) && p.weight > 0)
    .sort((a, b) => a.value - b.value)
  const half = pairs.reduce((sum, p) => sum + p.weight, 0) / 2
  let running = 0
  for (const p of pairs) {
    running += p.weight
    if (running >= half) return p.value
  }
  return otherwise
}
