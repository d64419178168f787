import type { Electrode } from '../survey/register.ts'
import { plateResistanceOhm } from './areas.ts'
import { areaOf, usable } from './dimensions.ts'
import { diameterOf, type ExpectedResistance, named } from './registered.ts'
import { rodGroupResistanceOhm } from './rod-groups.ts'
import { MOST_RODS, rodLayoutOf, rodPlaces } from './rod-layout.ts'
import {
  encasedRodResistanceOhm,
  rodBelowSurfaceResistanceOhm,
  rodResistanceOhm,
  rodsInLineResistanceOhm,
  USUAL_ROD_DIAMETER_M,
} from './rods.ts'

/** Concrete in the ground takes up water and conducts better than the soil: half as resistive (30 to 90 ohm-m in 100; IEEE 80, from memory). */
const CONCRETE_OVER_SOIL = 0.5
/** Steel inside concrete when the register gives the concrete's diameter only, m. Common practice, no source. */
const USUAL_BAR_M = 0.016

/** One rod, or as many as the register counts, in line, on a square or on a circle. */
export function registeredRods(electrode: Electrode, soilOhmM: number): ExpectedResistance | null {
  const lengthM = usable(electrode.lengthM)
  if (lengthM === null) return null
  const diameterM = diameterOf(electrode, USUAL_ROD_DIAMETER_M)
  const topM = usable(electrode.burialDepthM) ?? 0
  const count = electrode.kind === 'rod' ? 1 : Math.round(usable(electrode.count) ?? 1)
  if (count < 2)
    return topM > 0
      ? named(
          rodBelowSurfaceResistanceOhm(soilOhmM, lengthM, diameterM, topM),
          'rod below the surface (average potential)',
          0.02,
        )
      : named(rodResistanceOhm(soilOhmM, lengthM, diameterM), 'rod (Dwight)', 0.02)
  const spacingM = usable(electrode.spacingM) ?? lengthM
  const layout = rodLayoutOf({ ...electrode, spacingM })
  if (layout === 'line' && count > MOST_RODS)
    return named(
      rodsInLineResistanceOhm(soilOhmM, lengthM, diameterM, count, spacingM),
      'rods in line (BS 7430 factors)',
      0.1,
    )
  const name = { line: 'in line', 'hollow-square': 'on a square', circle: 'on a circle' }[layout]
  return named(
    rodGroupResistanceOhm(soilOhmM, lengthM, diameterM, rodPlaces(layout, count, spacingM)),
    `rods ${name} (average potential)`,
    0.05,
  )
}

/** Steel in concrete: rods in cylinders of concrete where length and diameter (of the concrete) are known, else a disc of the same area. */
export function registeredConcrete(electrode: Electrode, soilOhmM: number): ExpectedResistance | null {
  const areaM2 = areaOf(electrode)
  const lengthM = usable(electrode.lengthM)
  const acrossM = (usable(electrode.diameterMm) ?? 0) / 1000
  const count = Math.round(usable(electrode.count) ?? 1)
  if (lengthM !== null && acrossM > 0.05) {
    const one = encasedRodResistanceOhm(
      soilOhmM,
      CONCRETE_OVER_SOIL * soilOhmM,
      lengthM,
      USUAL_BAR_M,
      acrossM,
    )
    if (one === null || count < 2) return named(one, 'rod in concrete (IEEE 80)', 0.2)
    const sideM = usable(electrode.spacingM) ?? (areaM2 === null ? null : Math.sqrt(areaM2))
    if (sideM !== null) {
      const places = rodPlaces(count % 4 === 0 ? 'hollow-square' : 'circle', count, sideM)
      const bare = rodResistanceOhm(soilOhmM, lengthM, acrossM)
      const together = rodGroupResistanceOhm(soilOhmM, lengthM, acrossM, places)
      if (bare !== null && together !== null)
        return named(
          together + (one - bare) / places.length,
          'rods in concrete (IEEE 80, average potential)',
          0.2,
        )
    }
  }
  return areaM2 === null
    ? null
    : named(plateResistanceOhm(soilOhmM, areaM2), 'disc of the same area (common practice, no source)', 0.35)
}
