/** Hemispheres and plates in uniform soil; null where the formula does not hold. */

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
 * Buried round plate of the same area, ohm: rho/8a + rho/4 pi s (1 + c2 a²/s² + c4 a⁴/s⁴), a its radius, s twice the depth of its middle;
 * lying flat c = −7/12, 33/40, standing c = 7/24, 99/320. Source: Dwight 1936 (from memory; flat checked at the deep limit rho/8a, standing not cross-checked).
 * Null where it lies nearer to the surface than its radius: the series is for deeper ones.
 */
export function buriedPlateResistanceOhm(
  soilOhmM: number,
  areaM2: number,
  depthM: number,
  lies: 'flat' | 'standing',
): number | null {
  if (!(soilOhmM > 0 && areaM2 > 0)) return null
  const a = Math.sqrt(areaM2 / Math.PI)
  if (!(depthM >= a)) return null
  const s = 2 * depthM
  const [c2, c4] = lies === 'flat' ? [-7 / 12, 33 / 40] : [7 / 24, 99 / 320]
  const image = (1 + c2 * (a / s) ** 2 + c4 * (a / s) ** 4) / (4 * Math.PI * s)
  return positive(soilOhmM * (1 / (8 * a) + image))
}

function positive(value: number): number | null {
  return Number.isFinite(value) && value > 0 ? value : null
}
