import type { Electrode } from '../../survey/register.ts'
import { fieldSoil, type LayeredSoil } from '../layered-soil.ts'
import { solveField } from './field.ts'
import { segmentsOf } from './segments.ts'

/**
 * Resistance to remote earth of a registered electrode in uniform or two-layer soil by the field calculation, ohm. Within 1.5 % of
 * independent moment-method values. Rods, wires, rings and small grids take milliseconds; a grid of ten by ten meshes some ten in uniform soil
 * and some hundreds in two layers. Null for kinds it has no picture of (plate, foundation, footing, other), missing dimensions, or a soil that
 * cannot be.
 */
export function fieldResistanceOhm(electrode: Electrode, soil: LayeredSoil): number | null {
  const layers = fieldSoil(soil)
  const segments = layers && segmentsOf(electrode)
  return (segments && solveField(segments, layers)?.resistanceOhm) ?? null
}
