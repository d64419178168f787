import type { Electrode } from '../survey/register.ts'
import { gridSverakResistanceOhm, plateResistanceOhm, usualGridConductorM } from './areas.ts'
import { rodResistanceOhm, rodsInLineResistanceOhm, USUAL_ROD_DIAMETER_M } from './rods.ts'
import { ringResistanceOhm, USUAL_BURIAL_DEPTH_M, USUAL_WIRE_DIAMETER_M, wireResistanceOhm } from './wires.ts'

export interface ExpectedResistance {
  resistanceOhm: number
  /** Which formula, by the name an engineer would look up. */
  formula: string
}

/**
 * Expected resistance of a registered electrode in uniform soil of `soilOhmM` ohm-m, with the formula's name.
 * Null for kind `other`, and whenever the register lacks a dimension the formula needs or has an impossible one.
 * Missing diameter, depth and conductor length take usual values: they move the answer little. R is proportional to the soil, so one
 * call with 1 ohm-m gives the inverse of the electrode's shape. Compare a measured value with no band narrower than ±30 %.
 */
export function expectedResistance(electrode: Electrode, soilOhmM: number): ExpectedResistance | null {
  const depthM = positive(electrode.burialDepthM) ?? USUAL_BURIAL_DEPTH_M
  const diameterM = positive(electrode.diameterMm)
  switch (electrode.kind) {
    case 'rod':
    case 'rod-group': {
      const lengthM = positive(electrode.lengthM)
      if (lengthM === null) return null
      const rodM = diameterM === null ? USUAL_ROD_DIAMETER_M : diameterM / 1000
      const count = positive(electrode.count) ?? 1
      if (count < 2) return named(rodResistanceOhm(soilOhmM, lengthM, rodM), 'rod (Dwight)')
      const spacingM = positive(electrode.spacingM) ?? lengthM
      return named(
        rodsInLineResistanceOhm(soilOhmM, lengthM, rodM, count, spacingM),
        'rods in line (BS 7430 factors)',
      )
    }
    case 'wire': {
      const lengthM = positive(electrode.lengthM) ?? positive(electrode.diagonalM)
      if (lengthM === null) return null
      return named(
        wireResistanceOhm(soilOhmM, lengthM, (diameterM ?? 1000 * USUAL_WIRE_DIAMETER_M) / 1000, depthM),
        'buried wire (Dwight)',
      )
    }
    case 'ring': {
      const acrossM = acrossFrom(electrode)
      if (acrossM === null) return null
      return named(
        ringResistanceOhm(soilOhmM, acrossM, (diameterM ?? 1000 * USUAL_WIRE_DIAMETER_M) / 1000, depthM),
        'ring (Dwight)',
      )
    }
    case 'grid': {
      const areaM2 = areaFrom(electrode)
      if (areaM2 === null) return null
      const side = Math.sqrt(areaM2)
      const given = positive(electrode.lengthM)
      // A length shorter than the outline is some other length (a rod's, a side's), not all the conductor.
      const conductorM = given !== null && given >= 4 * side ? given : usualGridConductorM(areaM2)
      return named(gridSverakResistanceOhm(soilOhmM, areaM2, conductorM, depthM), 'grid (Sverak)')
    }
    case 'plate':
      return named(plateResistanceOhm(soilOhmM, areaFrom(electrode) ?? Number.NaN), 'plate (BS 7430)')
    case 'foundation':
    case 'tower-footing':
      return named(
        plateResistanceOhm(soilOhmM, areaFrom(electrode) ?? Number.NaN),
        'disc of the same area (common practice, no source)',
      )
    case 'other':
      return null
  }
}

/** The electrode's area, m²: as registered, else of the square with the registered diagonal; null when neither is known. */
function areaFrom(electrode: Electrode): number | null {
  const area = positive(electrode.areaM2)
  if (area !== null) return area
  const diagonal = positive(electrode.diagonalM)
  return diagonal === null ? null : diagonal ** 2 / 2
}

/** A ring's diameter, m: its longest dimension, else from its area, else from its length of wire. */
function acrossFrom(electrode: Electrode): number | null {
  const across = positive(electrode.diagonalM)
  if (across !== null) return across
  const area = positive(electrode.areaM2)
  if (area !== null) return Math.sqrt((4 * area) / Math.PI)
  const length = positive(electrode.lengthM)
  return length === null ? null : length / Math.PI
}

function positive(value: number | undefined): number | null {
  // A micrometre to a thousand kilometres: beyond that it is no dimension.
  return value !== undefined && value > 1e-6 && value < 1e6 ? value : null
}

function named(resistanceOhm: number | null, formula: string): ExpectedResistance | null {
  return resistanceOhm === null ? null : { resistanceOhm, formula }
}
