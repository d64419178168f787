/**
 * The fall of potential along the line in uniform soil (Curdts 1958, Tagg 1964, IEEE 81; restated and computed):
 * R(x) = R − k F, F = 1/x + 1/D − 1/d, k = rho/2 pi; x and D the distances of the potential and the current probe from the electrode,
 * d the distance between the two probes. Neglects the mutual distortion of the electrodes, of order (a/D)².
 */

/** p of the correct position on a straight line: (sqrt 5 − 1)/2. */
export const STRAIGHT_POSITION = (Math.sqrt(5) - 1) / 2

/** Beyond this angle between the leads, degrees, no position of the potential probe reads right: 2 asin(1/4). */
export const LAST_ANGLE_DEG = (2 * Math.asin(0.25) * 180) / Math.PI

/** c(p) = 1/p + 1 − 1/(1 − p): the reading at p = x/D is wrong by −(a/D) c(p) of R, for 0 < p < 1. */
export function positionCoefficient(p: number): number {
  return 1 / p + 1 - 1 / (1 - p)
}

/** Distance between the two probes, m, with `angleDeg` between the leads (0 = one straight line, the same side). */
export function probeToProbeM(potentialProbeM: number, currentProbeM: number, angleDeg = 0): number {
  if (angleDeg === 0) return Math.abs(currentProbeM - potentialProbeM)
  const cos = Math.cos((angleDeg * Math.PI) / 180)
  const squared = potentialProbeM ** 2 + currentProbeM ** 2 - 2 * potentialProbeM * currentProbeM * cos
  return Math.sqrt(Math.max(0, squared))
}

/** F of the formula above, 1/m. Not finite when a probe stands on the electrode or on the other probe. */
export function fallTermPerM(potentialProbeM: number, currentProbeM: number, angleDeg = 0): number {
  return 1 / potentialProbeM + 1 / currentProbeM - 1 / probeToProbeM(potentialProbeM, currentProbeM, angleDeg)
}

/** The inner correct position x/D for an angle between the leads, degrees; null beyond LAST_ANGLE_DEG. The outer one is its reciprocal. */
export function correctPosition(angleDeg: number): number | null {
  const angle = Math.abs(angleDeg)
  if (!(angle <= LAST_ANGLE_DEG)) return null
  let low = 0.5
  let high = 1
  for (let step = 0; step < 60; step++) {
    const middle = (low + high) / 2
    if (fallTermPerM(middle, 1, angle) > 0) low = middle
    else high = middle
  }
  return (low + high) / 2
}
