import type { Electrode } from '../survey/register.ts'
import { buriedPlateResistanceOhm, plateResistanceOhm } from './areas.ts'
import { areaOf, usable } from './dimensions.ts'
import { type ExpectedResistance, named } from './registered.ts'
import { registeredConcrete, registeredRods } from './registered-rods.ts'
import { registeredGrid, registeredRing, registeredWire } from './registered-wires.ts'

/**
 * Expected resistance of a registered electrode in uniform soil of `soilOhmM` ohm-m, with the formula's name and doubt. Null for kind
 * `other`, and whenever the register lacks a dimension the formula needs or has an impossible one; never NaN, never a throw.
 * Missing diameter, depth and conductor length take usual values: they move the answer little. R is proportional to the soil, so one
 * call with 1 ohm-m gives the inverse of the electrode's shape. Compare a measured value with no band narrower than ±30 %.
 */
export function expectedResistance(electrode: Electrode, soilOhmM: number): ExpectedResistance | null {
  switch (electrode.kind) {
    case 'rod':
    case 'rod-group':
      return registeredRods(electrode, soilOhmM)
    case 'wire':
      return registeredWire(electrode, soilOhmM)
    case 'ring':
      return registeredRing(electrode, soilOhmM)
    case 'grid':
      return registeredGrid(electrode, soilOhmM)
    case 'plate':
      return plate(electrode, soilOhmM)
    case 'foundation':
    case 'tower-footing':
      return registeredConcrete(electrode, soilOhmM)
    case 'other':
      return null
  }
}

/** The resistivity that uniform soil would need for this electrode to read this, ohm-m; null where `expectedResistance` is, or for a reading that is not positive. */
export function impliedSoilOhmM(electrode: Electrode, resistanceOhm: number): number | null {
  const perOhmM = expectedResistance(electrode, 1)
  if (!perOhmM || !(resistanceOhm > 0)) return null
  const soil = resistanceOhm / perOhmM.resistanceOhm
  return Number.isFinite(soil) && soil > 0 ? soil : null
}

function plate(electrode: Electrode, soilOhmM: number): ExpectedResistance | null {
  const areaM2 = areaOf(electrode)
  if (areaM2 === null) return null
  const deep = buriedPlateResistanceOhm(soilOhmM, areaM2, usable(electrode.burialDepthM) ?? 0, 'flat')
  if (deep !== null) return named(deep, 'buried plate (Dwight)', 0.1)
  return named(plateResistanceOhm(soilOhmM, areaM2), 'plate (BS 7430)', 0.3)
}
