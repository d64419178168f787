/**
 * How noisy this site's tests are against what was believed, learnt from how far its tests fell from what was expected of
 * them; only from tests already judged, so a later test never changes an earlier finding.
 */
export interface SiteNoise {
  /** Variance ratio to the belief. */
  ratio: number
  sum: number
  count: number
}

/** How many tests the belief is worth. */
const BELIEF_TESTS = 15
/** A deviation beyond this says that something happened, not that the site is noisy. */
const CAP = 5
/** Mean of min(z², CAP) when the belief is right. */
const CAPPED_MEAN = 0.9

export function newSiteNoise(): SiteNoise {
  return { ratio: 1, sum: BELIEF_TESTS, count: BELIEF_TESTS }
}

/** One visit's standardised deviations, made with the present ratio. */
export function learnNoise(n: SiteNoise, zs: readonly number[]): void {
  for (const z of zs) {
    n.sum += (n.ratio * Math.min(CAP, z * z)) / CAPPED_MEAN
    n.count++
  }
  n.ratio = Math.min(6, Math.max(0.3, n.sum / n.count))
}
