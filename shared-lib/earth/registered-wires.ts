import type { Electrode } from '../survey/register.ts'
import { areaOf, ringAcrossOf, sidesOf, usable } from './dimensions.ts'
import { gridSchwarzResistanceOhm, gridSverakResistanceOhm, usualGridConductorM } from './grids.ts'
import { depthOf, type ExpectedResistance, named, wireOf } from './registered.ts'
import { USUAL_ROD_DIAMETER_M } from './rods.ts'
import { ringResistanceOhm, starResistanceOhm, wireResistanceOhm } from './wires.ts'

/** One straight wire, or a star where the register counts its arms (`count` 2, 3, 4, 6 or 8, each `lengthM` long). */
export function registeredWire(electrode: Electrode, soilOhmM: number): ExpectedResistance | null {
  const lengthM = usable(electrode.lengthM) ?? usable(electrode.diagonalM)
  if (lengthM === null) return null
  const arms = Math.round(usable(electrode.count) ?? 1)
  if (arms < 2)
    return named(
      wireResistanceOhm(soilOhmM, lengthM, wireOf(electrode), depthOf(electrode)),
      'buried wire (Dwight)',
      0.03,
    )
  const ohm = starResistanceOhm(soilOhmM, arms, lengthM, wireOf(electrode), depthOf(electrode))
  // Even leakage reads higher the more arms shield the middle.
  return named(ohm, `star of ${arms} wires (Dwight)`, 0.02 + 0.006 * arms)
}

/** A ring of wire in the ground, by its diameter. */
export function registeredRing(electrode: Electrode, soilOhmM: number): ExpectedResistance | null {
  const acrossM = ringAcrossOf(electrode)
  if (acrossM === null) return null
  const ohm = ringResistanceOhm(soilOhmM, acrossM, wireOf(electrode), depthOf(electrode))
  return named(ohm, 'ring (Dwight)', 0.03)
}

/** With rods where the register counts them and gives their length (`lengthM` shorter than the outline). */
export function registeredGrid(electrode: Electrode, soilOhmM: number): ExpectedResistance | null {
  const areaM2 = areaOf(electrode)
  if (areaM2 === null) return null
  const [long, short] = sidesOf(areaM2, usable(electrode.diagonalM))
  const given = usable(electrode.lengthM)
  // A length shorter than the outline is some other length (a rod's, a side's), not all the conductor.
  const isConductor = given !== null && given >= 4 * Math.sqrt(areaM2)
  const conductorM = isConductor ? given : usualGridConductorM(areaM2)
  const rods = Math.round(usable(electrode.count) ?? 0)
  if (given !== null && !isConductor && rods >= 2) {
    const together = gridSchwarzResistanceOhm(soilOhmM, {
      areaM2,
      sideRatio: Math.min(8, long / short),
      conductorM,
      wireDiameterM: wireOf(electrode),
      depthM: depthOf(electrode),
      rods,
      rodLengthM: given,
      rodDiameterM: USUAL_ROD_DIAMETER_M,
    })
    if (together) return named(together.resistanceOhm, 'grid with rods (Schwarz)', 0.12)
  }
  return named(
    gridSverakResistanceOhm(soilOhmM, areaM2, conductorM, depthOf(electrode)),
    'grid (Sverak)',
    0.12,
  )
}
