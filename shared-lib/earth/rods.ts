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

/**
 * One vertical rod whose top lies `topM` below the surface, ohm, by the average potential over its length:
 * rho/4pi ((2/L)(ln(2L/a) − 1) + ((2t + 2L) ln(2t + 2L) + 2t ln 2t − 2(2t + L) ln(2t + L))/L²), a the radius. Source: Howe's average
 * potential (from memory; reproduced by moment method within 0.3 %). At depth 0 it is the rod above. Often printed instead is the mid-point
 * form, which lies 4 to 5 % higher.
 */
export function rodBelowSurfaceResistanceOhm(
  soilOhmM: number,
  lengthM: number,
  diameterM: number,
  topM: number,
): number | null {
  if (rodResistanceOhm(soilOhmM, lengthM, diameterM) === null || !(topM >= 0)) return null
  const image = 2 * topM + lengthM
  const xlnx = (x: number): number => (x > 0 ? x * Math.log(x) : 0)
  const own = (2 / lengthM) * (Math.log((4 * lengthM) / diameterM) - 1)
  // Far below its image is a point: the difference of large terms would only be noise.
  const mirrored =
    topM > 100 * lengthM
      ? 1 / image
      : (xlnx(2 * topM + 2 * lengthM) + xlnx(2 * topM) - 2 * xlnx(image)) / lengthM ** 2
  return finite((soilOhmM / (4 * Math.PI)) * (own + mirrored))
}

/**
 * One vertical rod, top at the surface, that ends in the upper of two layers, ohm:
 * rho1/(2 pi L) (ln(8L/d) − 1 + sum kⁿ ln((2nh + L)/(2nh − L))), k = (rho2 − rho1)/(rho2 + rho1), h the layer's depth. Source: Tagg,
 * IEEE 81 (from memory; 0.7 % above a moment method at 3 m over 5 m). Null when the rod reaches the boundary.
 */
export function rodInUpperLayerResistanceOhm(
  { upperOhmM, contrast, depthM }: { upperOhmM: number; contrast: number; depthM: number },
  lengthM: number,
  diameterM: number,
): number | null {
  const alone = rodResistanceOhm(upperOhmM, lengthM, diameterM)
  if (alone === null || !(depthM > lengthM) || !(Math.abs(contrast) < 1)) return null
  let sum = 0
  let power = 1
  for (let n = 1; n <= 2000 && Math.abs(power) > 1e-7; n++) {
    power *= contrast
    sum += power * Math.log((2 * n * depthM + lengthM) / (2 * n * depthM - lengthM))
  }
  return finite(alone + (upperOhmM / (2 * Math.PI * lengthM)) * sum)
}

/**
 * Vertical rod inside a cylinder of concrete (a footing, a pile), ohm: 1/(2 pi L) (rho_c ln(Dc/d) + rho (ln(8L/Dc) − 1)), Dc the
 * concrete's diameter. Source: IEEE 80 (Fagan and Lee; from memory). Null where the concrete is thinner than the rod or as thick as long.
 */
export function encasedRodResistanceOhm(
  soilOhmM: number,
  concreteOhmM: number,
  lengthM: number,
  diameterM: number,
  concreteDiameterM: number,
): number | null {
  const outside = rodResistanceOhm(soilOhmM, lengthM, concreteDiameterM)
  if (outside === null || !(concreteOhmM > 0 && diameterM > 0 && concreteDiameterM >= diameterM)) return null
  return finite(outside + (concreteOhmM / (2 * Math.PI * lengthM)) * Math.log(concreteDiameterM / diameterM))
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
