import type { Electrode } from '../survey/register.ts'
import { buriedPlateResistanceOhm, plateResistanceOhm } from './areas.ts'
import { areaOf, ringAcrossOf, sidesOf, usable } from './dimensions.ts'
import { gridSchwarzResistanceOhm, gridSverakResistanceOhm, usualGridConductorM } from './grids.ts'
import { rodGroupResistanceOhm } from './rod-groups.ts'
import { MOST_RODS, rodLayoutOf, rodPlaces } from './rod-layout.ts'
import {
  encasedRodResistanceOhm,
  rodBelowSurfaceResistanceOhm,
  rodResistanceOhm,
  rodsInLineResistanceOhm,
  USUAL_ROD_DIAMETER_M,
} from './rods.ts'
import {
  ringResistanceOhm,
  starResistanceOhm,
  USUAL_BURIAL_DEPTH_M,
  USUAL_WIRE_DIAMETER_M,
  wireResistanceOhm,
} from './wires.ts'

export interface ExpectedResistance {
  resistanceOhm: number
  /** Which formula, by the name an engineer would look up. */
  formula: string
  /** What the formula itself is wrong by against a field calculation in the same soil, as a relative standard uncertainty. */
  relativeDoubt: number
}

/** Concrete in the ground takes up water and conducts better than the soil: half as resistive (30 to 90 ohm-m in 100; IEEE 80, from memory). */
const CONCRETE_OVER_SOIL = 0.5
/** Steel inside concrete when the register gives the concrete's diameter only, m. Common practice, no source. */
const USUAL_BAR_M = 0.016

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
      return rods(electrode, soilOhmM)
    case 'wire':
      return wire(electrode, soilOhmM)
    case 'ring': {
      const acrossM = ringAcrossOf(electrode)
      if (acrossM === null) return null
      const ohm = ringResistanceOhm(soilOhmM, acrossM, wireOf(electrode), depthOf(electrode))
      return named(ohm, 'ring (Dwight)', 0.03)
    }
    case 'grid':
      return grid(electrode, soilOhmM)
    case 'plate': {
      const areaM2 = areaOf(electrode)
      if (areaM2 === null) return null
      const deep = buriedPlateResistanceOhm(soilOhmM, areaM2, usable(electrode.burialDepthM) ?? 0, 'flat')
      if (deep !== null) return named(deep, 'buried plate (Dwight)', 0.1)
      return named(plateResistanceOhm(soilOhmM, areaM2), 'plate (BS 7430)', 0.3)
    }
    case 'foundation':
    case 'tower-footing':
      return encased(electrode, soilOhmM)
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

function rods(electrode: Electrode, soilOhmM: number): ExpectedResistance | null {
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

/** One straight wire, or a star where the register counts its arms (`count` 2, 3, 4, 6 or 8, each `lengthM` long). */
function wire(electrode: Electrode, soilOhmM: number): ExpectedResistance | null {
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

/** With rods where the register counts them and gives their length (`lengthM` shorter than the outline). */
function grid(electrode: Electrode, soilOhmM: number): ExpectedResistance | null {
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

/** Steel in concrete: rods in cylinders of concrete where length and diameter (of the concrete) are known, else a disc of the same area. */
function encased(electrode: Electrode, soilOhmM: number): ExpectedResistance | null {
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

const depthOf = (electrode: Electrode): number => usable(electrode.burialDepthM) ?? USUAL_BURIAL_DEPTH_M
const wireOf = (electrode: Electrode): number => diameterOf(electrode, USUAL_WIRE_DIAMETER_M)

function diameterOf(electrode: Electrode, usualM: number): number {
  const millimetres = usable(electrode.diameterMm)
  return millimetres === null ? usualM : millimetres / 1000
}

function named(
  resistanceOhm: number | null,
  formula: string,
  relativeDoubt: number,
): ExpectedResistance | null {
  return resistanceOhm === null ? null : { resistanceOhm, formula, relativeDoubt }
}
