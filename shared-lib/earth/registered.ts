import type { Electrode } from '../survey/register.ts'
import { usable } from './dimensions.ts'
import { USUAL_BURIAL_DEPTH_M, USUAL_WIRE_DIAMETER_M } from './wires.ts'

/** What the formulas take from the register, with usual values where it is silent, and the form of their answer. */

export interface ExpectedResistance {
  resistanceOhm: number
  /** Which formula, by the name an engineer would look up. */
  formula: string
  /** What the formula itself is wrong by against a field calculation in the same soil, as a relative standard uncertainty. */
  relativeDoubt: number
}

export const depthOf = (electrode: Electrode): number =>
  usable(electrode.burialDepthM) ?? USUAL_BURIAL_DEPTH_M
export const wireOf = (electrode: Electrode): number => diameterOf(electrode, USUAL_WIRE_DIAMETER_M)

export function diameterOf(electrode: Electrode, usualM: number): number {
  const millimetres = usable(electrode.diameterMm)
  return millimetres === null ? usualM : millimetres / 1000
}

/** A formula's answer with its name; null stays null. */
export function named(
  resistanceOhm: number | null,
  formula: string,
  relativeDoubt: number,
): ExpectedResistance | null {
  return resistanceOhm === null ? null : { resistanceOhm, formula, relativeDoubt }
}
