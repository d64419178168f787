/** Soil of one layer over another, or the same throughout. */
export interface Soil {
  /** Resistivity of the upper layer, ohm-m. */
  upperOhmM: number
  /** (lower − upper)/(lower + upper), −1 < k < 1; 0 is uniform soil, above 0 good ground over poor. */
  contrast: number
  /** Depth of the upper layer, m. Irrelevant when the contrast is 0. */
  depthM: number
}

/**
 * Potential at the surface of a point source at the surface, times 2 pi/(rho1 I), 1/m: 1/r + 2 sum kⁿ/sqrt(r² + (2nh)²).
 * Sunde; IEEE 81 (from memory, checked against the Bessel integral elsewhere to 1e-5). r > 0.
 */
export function surfaceKernelPerM(distanceM: number, contrast: number, depthM: number): number {
  let sum = 1 / distanceM
  let power = 1
  // Until the rest is below 1e-7 of the first, at most 2000.
  for (let n = 1; n <= 2000 && Math.abs(power) > 1e-7 * (1 - Math.abs(contrast)); n++) {
    power *= contrast
    sum += (2 * power) / Math.hypot(distanceM, 2 * n * depthM)
  }
  return sum
}
