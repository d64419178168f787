/**
 * Vertical rods in uniform soil. Every function answers null when the formula does not hold for what it was given
 * (not finite, not positive, or a rod as thick as it is long), so that no NaN leaves this file.
 */

/** Diameter taken when the register has none, m. 16 mm is a common rod; doubling it changes R by about 11 %. Common practice, no source. */
export const USUAL_ROD_DIAMETER_M = 0.016

/**
 * One vertical rod, top at the surface, ohm: rho/(2 pi L) (ln(8L/d) − 1).
 * Source: Dwight 1936, IEEE 142 Table 13 (from memory; reproduced by moment method within 0.5 %).
 * `diameterM` is the diameter: the same formula is printed with the radius as ln(4L/a) − 1; mixing the two reads 11 % low.
 */
export function rodResistanceOhm(soilOhmM: number, lengthM: number, diameterM: number): number | null {
  if (!(soilOhmM > 0 && lengthM > 0 && diameterM > 0)) return null
  const shape = Math.log((8 * lengthM) / diameterM) - 1
  if (!(shape > 0.5)) return null
  return finite((soilOhmM / (2 * Math.PI * lengthM)) * shape)
}

/** BS 7430 factor lambda for rods in one line, n = 2 to 10 (from memory; reproduced within 0.012 by an equal-potential solution). */
const IN_LINE = [1.0, 1.66, 2.15, 2.54, 2.87, 3.15, 3.39, 3.61, 3.81]

/** BS 7430 factor lambda for a hollow square with n rods a side, 4(n − 1) in all, n = 2 to 10 (from memory; reproduced within 0.012). */
const HOLLOW_SQUARE = [2.71, 4.51, 5.48, 6.13, 6.63, 7.03, 7.36, 7.65, 7.9]

/** lambda of n rods in line: the table to n = 10, beyond it equal currents, (2/n) sum (n − m)/m, which is at most 1.3 % higher. */
export function lambdaInLine(count: number): number {
  if (count <= 1) return 0
  const listed = IN_LINE[count - 2]
  if (listed !== undefined) return listed
  let sum = 0
  for (let m = 1; m < count; m++) sum += (count - m) / m
  return (2 * sum) / count
}

/** lambda of a hollow square with `perSide` rods a side (2 to 10); null outside the table. */
export function lambdaHollowSquare(perSide: number): number | null {
  return HOLLOW_SQUARE[perSide - 2] ?? null
}

/**
 * n equal rods in one line at equal spacing, ohm: R1 (1 + lambda alpha)/n, alpha = rho/(2 pi R1 s).
 * Source: BS 7430 (from memory). For spacing from about one length upward; nearer, the true value is lower than this by some percent.
 */
export function rodsInLineResistanceOhm(
  soilOhmM: number,
  lengthM: number,
  diameterM: number,
  count: number,
  spacingM: number,
): number | null {
  const one = rodResistanceOhm(soilOhmM, lengthM, diameterM)
  if (one === null || !(count >= 1)) return null
  const n = Math.min(Math.round(count), 1000)
  if (n === 1) return one
  if (!(spacingM > 0)) return null
  const alpha = soilOhmM / (2 * Math.PI * one * spacingM)
  // Rods side by side cannot be worse than one rod alone.
  return finite(Math.min(one, (one * (1 + lambdaInLine(n) * alpha)) / n))
}

/** 4(n − 1) equal rods on the sides of a square, `perSide` a side, ohm; same formula and source as the line. */
export function rodsInHollowSquareResistanceOhm(
  soilOhmM: number,
  lengthM: number,
  diameterM: number,
  perSide: number,
  spacingM: number,
): number | null {
  const one = rodResistanceOhm(soilOhmM, lengthM, diameterM)
  const lambda = lambdaHollowSquare(perSide)
  if (one === null || lambda === null || !(spacingM > 0)) return null
  const alpha = soilOhmM / (2 * Math.PI * one * spacingM)
  return finite(Math.min(one, (one * (1 + lambda * alpha)) / (4 * (perSide - 1))))
}

function finite(value: number): number | null {
  return Number.isFinite(value) && value > 0 ? value : null
}
