/** Buried horizontal conductors in uniform soil. Null where the formula does not hold. */

/** Conductor diameter taken when the register has none, m. Common practice, no source; the result hardly depends on it. */
export const USUAL_WIRE_DIAMETER_M = 0.01

/** Burial depth taken when the register has none, m. Common practice, no source. */
export const USUAL_BURIAL_DEPTH_M = 0.5

/**
 * Straight horizontal wire, ohm. Dwight 1936 (from memory; reproduced within 0.6 % by moment method):
 * rho/(4 pi h) (ln 4h/a + ln 4h/s − 2 + s/2h − s²/16h² + s⁴/512h⁴), h half the length, a the radius, s twice the depth.
 */
export function wireResistanceOhm(
  soilOhmM: number,
  lengthM: number,
  diameterM: number,
  depthM: number,
): number | null {
  if (!(soilOhmM > 0 && lengthM > 0 && diameterM > 0 && depthM > 0)) return null
  const h = lengthM / 2
  const a = diameterM / 2
  const s = 2 * depthM
  // The series is for wires longer than they are deep; deeper ones lie in full space with a distant image.
  const r = s / h
  if (r > 2) return null
  const shape = Math.log((4 * h) / a) + Math.log((4 * h) / s) - 2 + r / 2 - r ** 2 / 16 + r ** 4 / 512
  return positive((soilOhmM / (4 * Math.PI * h)) * shape)
}

/**
 * Ring of wire, ohm: rho/(2 pi² D) (ln 8D/d + ln 4D/s), D the ring's diameter, d the wire's, s twice the depth.
 * Source: Dwight 1936, IEEE 142 (from memory).
 */
export function ringResistanceOhm(
  soilOhmM: number,
  ringDiameterM: number,
  wireDiameterM: number,
  depthM: number,
): number | null {
  if (!(soilOhmM > 0 && ringDiameterM > 0 && wireDiameterM > 0 && depthM > 0)) return null
  if (ringDiameterM < 4 * depthM || ringDiameterM < 8 * wireDiameterM) return null
  const shape = Math.log((8 * ringDiameterM) / wireDiameterM) + Math.log((4 * ringDiameterM) / (2 * depthM))
  return positive((soilOhmM / (2 * Math.PI ** 2 * ringDiameterM)) * shape)
}

/** The polynomial of a star of n equal arms in s/L: constant, linear, quadratic, quartic terms (Dwight 1936, from memory, reproduced within 0.04 %). */
const STARS: Record<number, readonly [number, number, number, number]> = {
  2: [-0.2373, 0.2146, 0.1035, -0.0424],
  3: [1.071, -0.209, 0.238, -0.054],
  4: [2.912, -1.071, 0.645, -0.145],
  6: [6.851, -3.128, 1.758, -0.49],
  8: [10.98, -5.51, 3.26, -1.17],
}

/**
 * Star of 2 (right angle), 3, 4, 6 or 8 equal arms, ohm: rho/(2 n pi L) (ln 2L/a + ln 2L/s + polynomial in s/L), L one arm.
 * Source: Dwight 1936 (from memory).
 */
export function starResistanceOhm(
  soilOhmM: number,
  arms: number,
  armLengthM: number,
  diameterM: number,
  depthM: number,
): number | null {
  const k = STARS[arms]
  if (!k || !(soilOhmM > 0 && armLengthM > 0 && diameterM > 0 && depthM > 0)) return null
  const s = 2 * depthM
  const r = s / armLengthM
  if (r > 1) return null
  const shape =
    Math.log((4 * armLengthM) / diameterM) +
    Math.log((2 * armLengthM) / s) +
    k[0] +
    k[1] * r +
    k[2] * r ** 2 +
    k[3] * r ** 4
  return positive((soilOhmM / (2 * arms * Math.PI * armLengthM)) * shape)
}

function positive(value: number): number | null {
  return Number.isFinite(value) && value > 0 ? value : null
}
