/** Electrodes that cover an area: grids, plates, foundations, footings. Uniform soil; null where the formula does not hold. */

/** Hemisphere of radius a at the surface, ohm: rho/(2 pi a). Exact. */
export function hemisphereResistanceOhm(soilOhmM: number, radiusM: number): number | null {
  return soilOhmM > 0 && radiusM > 0 ? positive(soilOhmM / (2 * Math.PI * radiusM)) : null
}

/** Radius of the hemisphere that would read the same, m: a = rho/(2 pi R). The length scale of the fall of potential far away. */
export function equivalentHemisphereM(soilOhmM: number, resistanceOhm: number): number | null {
  return soilOhmM > 0 && resistanceOhm > 0 ? positive(soilOhmM / (2 * Math.PI * resistanceOhm)) : null
}

/** Plate or disc, ohm: rho/4 sqrt(pi/A). Source: BS 7430 (from memory). A plate at the surface; buried deep it halves. */
export function plateResistanceOhm(soilOhmM: number, areaM2: number): number | null {
  return soilOhmM > 0 && areaM2 > 0 ? positive((soilOhmM / 4) * Math.sqrt(Math.PI / areaM2)) : null
}

/**
 * Grid by Sverak, ohm: rho (1/L + 1/sqrt(20A) (1 + 1/(1 + h sqrt(20/A)))), L all buried conductor, h the depth.
 * Source: IEEE 80 (from memory; Annex B cases reproduced). 5 to 18 % above a field calculation.
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

/** All the conductor in a square grid of this area with meshes of about 5 m, m. Common practice, no source. */
export function usualGridConductorM(areaM2: number): number {
  const side = Math.sqrt(areaM2)
  return 2 * side * (Math.max(1, Math.round(side / 5)) + 1)
}

function positive(value: number): number | null {
  return Number.isFinite(value) && value > 0 ? value : null
}
