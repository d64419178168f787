/** R(x) = R − k F by least squares: two unknowns, so three readings suffice, and two fit exactly. */

export interface LinePoint {
  /** The fall term F of this position, 1/m. */
  fallPerM: number
  resistanceOhm: number
}

export interface LinearFit {
  resistanceOhm: number
  /** rho/2 pi, ohm-m. */
  k: number
  /** Standard deviation of one reading about the line, ohm; null with two points, which leave none. */
  residualOhm: number | null
  /** sqrt of the (R, R) element of (AᵀA)⁻¹: times a reading's standard uncertainty this is the one of R. */
  resistanceGain: number
}

/** Ordinary least squares of the fall of potential. Null with fewer than two distinct positions or numbers that are not finite. */
export function fitFallOfPotential(points: readonly LinePoint[]): LinearFit | null {
  const n = points.length
  if (n < 2) return null
  const meanF = points.reduce((sum, point) => sum + point.fallPerM, 0) / n
  const meanR = points.reduce((sum, point) => sum + point.resistanceOhm, 0) / n
  let sff = 0
  let sfr = 0
  for (const { fallPerM, resistanceOhm } of points) {
    sff += (fallPerM - meanF) ** 2
    sfr += (fallPerM - meanF) * (resistanceOhm - meanR)
  }
  if (!(sff > 1e-12 * (meanF ** 2 + 1e-12))) return null
  const k = -sfr / sff
  const resistanceOhm = meanR + k * meanF
  const squares = points.reduce(
    (sum, point) => sum + (point.resistanceOhm - resistanceOhm + k * point.fallPerM) ** 2,
    0,
  )
  const fit = {
    resistanceOhm,
    k,
    residualOhm: n > 2 ? Math.sqrt(squares / (n - 2)) : null,
    resistanceGain: Math.sqrt(1 / n + meanF ** 2 / sff),
  }
  return Number.isFinite(fit.resistanceOhm + fit.k + fit.resistanceGain + squares) ? fit : null
}
