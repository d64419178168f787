/** Conformity to an upper limit by JCGM 106. */

/** Standard normal distribution function, within 1e-7 (Abramowitz and Stegun 7.1.26 refined form, from memory; checked against published values). */
export function normalCdf(z: number): number {
  if (Number.isNaN(z)) return 0.5
  if (z < -38) return 0
  if (z > 38) return 1
  // Series near the middle, continued fraction in the tails: both exact enough for a probability that is shown with three figures.
  const x = Math.abs(z)
  const density = Math.exp((-x * x) / 2) / Math.sqrt(2 * Math.PI)
  let upper: number
  if (x < 3) {
    let term = x
    let sum = x
    for (let n = 1; n < 60; n++) {
      term *= (x * x) / (2 * n + 1)
      sum += term
      if (term < 1e-17 * sum) break
    }
    upper = 0.5 - density * sum
  } else {
    let fraction = x
    for (let n = 30; n >= 1; n--) fraction = x + n / fraction
    upper = density / fraction
  }
  return z > 0 ? 1 - upper : upper
}

/**
 * Chance that the true value is at or below the limit, for a normal result with standard uncertainty u (JCGM 106, 7.4, without prior).
 * With no uncertainty it is 0 or 1. Null when a number is missing.
 */
export function conformityProbability(
  valueOhm: number | null,
  standardOhm: number | null,
  limitOhm: number | null,
): number | null {
  if (valueOhm === null || standardOhm === null || limitOhm === null) return null
  if (!(standardOhm > 0)) return valueOhm <= limitOhm ? 1 : 0
  return normalCdf((limitOhm - valueOhm) / standardOhm)
}
