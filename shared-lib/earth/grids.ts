/** Grids in uniform soil. Null where the formula does not hold. Hand formulas lie 5 to 18 % above a field calculation. */

/**
 * Grid by Sverak, ohm: rho (1/L + 1/sqrt(20A) (1 + 1/(1 + h sqrt(20/A)))), L all buried conductor, h the depth.
 * Source: IEEE 80 (from memory; Annex B cases reproduced). For depths of 0.25 to 2.5 m.
 */
export function gridSverakResistanceOhm(
  soilOhmM: number,
  areaM2: number,
  conductorM: number,
  depthM: number,
): number | null {
  if (!(soilOhmM > 0 && areaM2 > 0 && conductorM > 0 && depthM >= 0)) return null
  const inner = 1 / (1 + depthM * Math.sqrt(20 / areaM2))
  return positive(soilOhmM * (1 / conductorM + (1 + inner) / Math.sqrt(20 * areaM2)))
}

/** Grid by Laurent and Niemann, ohm: rho/4 sqrt(pi/A) + rho/L. Source: IEEE 80 (from memory). An upper bound. */
export function gridLaurentResistanceOhm(
  soilOhmM: number,
  areaM2: number,
  conductorM: number,
): number | null {
  if (!(soilOhmM > 0 && areaM2 > 0 && conductorM > 0)) return null
  return positive((soilOhmM / 4) * Math.sqrt(Math.PI / areaM2) + soilOhmM / conductorM)
}

/** A grid with rods, in metres; the rods' tops are at the grid. */
export interface GridWithRods {
  areaM2: number
  /** Longer side over shorter, 1 and above. */
  sideRatio: number
  conductorM: number
  wireDiameterM: number
  depthM: number
  rods: number
  rodLengthM: number
  rodDiameterM: number
}

export interface SchwarzResult {
  /** The grid alone, the rods alone, between them, and together, ohm. */
  gridOhm: number
  rodsOhm: number
  mutualOhm: number
  resistanceOhm: number
}

/**
 * Grid with rods by Schwarz, ohm: (R1 R2 − Rm²)/(R1 + R2 − 2Rm), with
 * R1 = rho/(pi L) (ln 2L/sqrt(2ah) + k1 L/sqrt A − k2), R2 = rho/(2 pi n l) (ln 4l/b − 1 + 2 k1 l/sqrt A (sqrt n − 1)²),
 * Rm = rho/(pi L) (ln 2L/l + k1 L/sqrt A − k2 + 1); a and b the radii of wire and rod, k1 = 1.41 − 0.04x, k2 = 5.50 + 0.15x (the curves for zero
 * depth), x the ratio of the sides. Source: IEEE 80 (from memory; the B.2 case reproduced). Null without rods, or where a term is not positive.
 */
export function gridSchwarzResistanceOhm(soilOhmM: number, grid: GridWithRods): SchwarzResult | null {
  const { areaM2, sideRatio, conductorM, wireDiameterM, depthM, rods, rodLengthM, rodDiameterM } = grid
  const sizes = [soilOhmM, areaM2, conductorM, wireDiameterM, depthM, rodLengthM, rodDiameterM]
  if (!sizes.every((size) => size > 0 && Number.isFinite(size)) || !(sideRatio >= 1 && rods >= 1)) return null
  const k1 = 1.41 - 0.04 * sideRatio
  const k2 = 5.5 + 0.15 * sideRatio
  const root = Math.sqrt(areaM2)
  const alongGrid = soilOhmM / (Math.PI * conductorM)
  const spread = (k1 * conductorM) / root - k2
  const gridOhm = alongGrid * (Math.log((2 * conductorM) / Math.sqrt(wireDiameterM * depthM)) + spread)
  const rodsOhm =
    (soilOhmM / (2 * Math.PI * rods * rodLengthM)) *
    (Math.log((8 * rodLengthM) / rodDiameterM) -
      1 +
      ((2 * k1 * rodLengthM) / root) * (Math.sqrt(rods) - 1) ** 2)
  const mutualOhm = alongGrid * (Math.log((2 * conductorM) / rodLengthM) + spread + 1)
  const resistanceOhm = (gridOhm * rodsOhm - mutualOhm ** 2) / (gridOhm + rodsOhm - 2 * mutualOhm)
  const sound = [gridOhm, rodsOhm, mutualOhm, resistanceOhm].every((ohm) => positive(ohm) !== null)
  return sound && resistanceOhm <= gridOhm ? { gridOhm, rodsOhm, mutualOhm, resistanceOhm } : null
}

/** All the conductor in a square grid of this area with meshes of about 5 m, m. Common practice, no source. */
export function usualGridConductorM(areaM2: number): number {
  const side = Math.sqrt(areaM2)
  return 2 * side * (Math.max(1, Math.round(side / 5)) + 1)
}

function positive(value: number): number | null {
  return Number.isFinite(value) && value > 0 ? value : null
}
