/** Four stakes in a line, the outer two carrying the current: what the soil is. */

/**
 * Apparent resistivity from one four-point reading, ohm-m. `spacingM` from a current stake to the potential stake next to it;
 * `potentialSpacingM` between the two potential stakes, absent = the same (Wenner), else Schlumberger-Palmer; `depthM` of the stakes.
 * Full formula for buried points, 4 pi R / (2 (g(c) − g(c + d))), g(r) = 1/r + 1/sqrt(r² + 4b²): with equal spacing it is
 * 4 pi a R / (1 + 2a/sqrt(a² + 4b²) − a/sqrt(a² + b²)), at the surface 2 pi a R or pi c (c + d) R/d. IEEE 81 (from memory; exact for
 * buried points). Null when a distance or the reading is not positive and finite, or the depth is negative.
 */
export function apparentResistivityOhmM(
  spacingM: number,
  resistanceOhm: number,
  depthM = 0,
  potentialSpacingM = spacingM,
): number | null {
  if (!(spacingM > 0 && potentialSpacingM > 0 && resistanceOhm > 0 && depthM >= 0)) return null
  const outerM = spacingM + potentialSpacingM
  const g = (r: number): number => 1 / r + 1 / Math.hypot(r, 2 * depthM)
  const value = (2 * Math.PI * resistanceOhm) / (g(spacingM) - g(outerM))
  return Number.isFinite(value) && value > 0 ? value : null
}

/** Terms of the series below that are still worth adding; the rest is under 1e-6 of the first for any contrast. */
const MOST_TERMS = 4000

/**
 * Apparent resistivity over that of the upper layer that a four-point reading shows at the surface of two-layer soil, 0 to infinity.
 * (f(c) − f(c + d))/(1/c − 1/(c + d)), f(r) = 1/r + 2 sum kⁿ/sqrt(r² + (2nh)²); with d = c it is Sunde's
 * 1 + 4 sum kⁿ (1/sqrt(1 + (2nh/a)²) − 1/sqrt(4 + (2nh/a)²)) (IEEE 81, from memory; checked against the Bessel integral to 1e-5).
 * Spacings and depth above 0, −1 < contrast < 1; the caller sees to it.
 */
export function apparentRatio(
  spacingM: number,
  contrast: number,
  depthM: number,
  potentialSpacingM = spacingM,
): number {
  const outerM = spacingM + potentialSpacingM
  const bare = 1 / spacingM - 1 / outerM
  let sum = bare
  let power = 1
  for (let n = 1; n <= MOST_TERMS; n++) {
    power *= contrast
    const image = 2 * n * depthM
    const term =
      2 * power * (1 / Math.sqrt(spacingM ** 2 + image * image) - 1 / Math.sqrt(outerM ** 2 + image * image))
    sum += term
    // What follows falls at least as fast as kⁿ and as n⁻³.
    if (Math.abs(term) * Math.min(1 / (1 - Math.abs(contrast)), n) < 1e-7 * bare && image > spacingM) break
    if (Math.abs(power) < 1e-9) break
  }
  return sum / bare
}
