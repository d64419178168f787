/**
 * Slope method: readings with the potential probe at 20, 40 and 60 % of the current probe's distance, both measured from any datum.
 * Closed form, computed, of Tagg's table (Proc. IEE 117 (1970) 2185, from memory): the electrical centre lies X D behind the datum.
 * It repairs an unknown centre in uniform soil. It does not repair layered soil.
 */

export interface SlopeResult {
  resistanceOhm: number
  /** (R60 − R40)/(R40 − R20). */
  mu: number
  /** How far the electrical centre lies behind the datum, as a fraction of D. */
  offsetFraction: number
  /** The position that reads right, x/D from the datum. */
  correctPosition: number
}

/** The table's range: outside it the method has no answer, and the current probe must move. */
const MU_LOW = 0.4
const MU_HIGH = 1.59

/** mu as a function of the offset; rises from 0.36 at X = −0.08 towards 2. */
export function slopeMu(offsetFraction: number): number {
  const x = offsetFraction
  return (0.2 / ((0.4 + x) * (0.6 + x)) + 5 / 6) / (0.2 / ((0.2 + x) * (0.4 + x)) + 5 / 12)
}

/** True resistance from the three readings, ohm; null when they do not rise or mu lies outside MU_LOW to MU_HIGH. */
export function slopeMethod(r20Ohm: number, r40Ohm: number, r60Ohm: number): SlopeResult | null {
  const first = r40Ohm - r20Ohm
  const mu = (r60Ohm - r40Ohm) / first
  if (!(first > 0) || !(mu > MU_LOW - 1e-9 && mu < MU_HIGH + 1e-9)) return null
  let low = -0.08
  let high = 2
  for (let step = 0; step < 60; step++) {
    const middle = (low + high) / 2
    if (slopeMu(middle) < mu) low = middle
    else high = middle
  }
  const x = (low + high) / 2
  const k = first / (0.2 / ((0.2 + x) * (0.4 + x)) + 5 / 12)
  const resistanceOhm = r40Ohm + k * (1 / (0.4 + x) + 1 / (1 + x) - 5 / 3)
  const correctPosition = ((Math.sqrt(5) - 1) / 2) * (1 + x) - x
  return Number.isFinite(resistanceOhm) ? { resistanceOhm, mu, offsetFraction: x, correctPosition } : null
}
