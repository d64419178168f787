/** Student's t with eight degrees of freedom: the tails of surveys are heavier than normal. Density and distribution, closed form. */

const DENSITY_AT_ZERO = 0.38669902
const SQRT_8 = Math.sqrt(8)

/** Density at `y` of a t8 with centre `m` and scale `s`. */
export function t8Density(y: number, m: number, s: number): number {
  const z = (y - m) / s
  const u = 1 + (z * z) / 8
  const u2 = u * u
  return DENSITY_AT_ZERO / (s * u2 * u2 * Math.sqrt(u))
}

/** Chance of a value below `y`. Standard result for an even number of degrees of freedom. */
export function t8Below(y: number, m: number, s: number): number {
  // The angle whose tangent this is, without working the angle out: all that is wanted of it is its sine and cosine.
  const tangent = (y - m) / (s * SQRT_8)
  const c2 = 1 / (1 + tangent * tangent)
  return 0.5 + 0.5 * tangent * Math.sqrt(c2) * (1 + c2 * (0.5 + c2 * (0.375 + 0.3125 * c2)))
}

/** Chance of a value between `low` and `high`, taken on the side where both tails are small so that nothing cancels. */
export function t8Between(low: number, high: number, m: number, s: number): number {
  if (low > m) return Math.max(0, t8Below(2 * m - low, m, s) - t8Below(2 * m - high, m, s))
  return Math.max(0, t8Below(high, m, s) - t8Below(low, m, s))
}

/** ln Γ(x) for x > 0, Lanczos (g = 7, n = 9; from memory). */
export function lnGamma(x: number): number {
  const c = [
    676.5203681218851, -1259.1392167224028, 771.32342877765313, -176.61502916214059, 12.507343278686905,
    -0.13857109526572012, 9.9843695780195716e-6, 1.5056327351493116e-7,
  ]
  if (x < 0.5) return Math.log(Math.PI / Math.abs(Math.sin(Math.PI * x))) - lnGamma(1 - x)
  const z = x - 1
  const t = z + 7.5
  const sum = c.reduce((a, ci, i) => a + ci / (z + i + 1), 0.99999999999980993)
  return 0.5 * Math.log(2 * Math.PI) + (z + 0.5) * Math.log(t) - t + Math.log(sum)
}
