import { expectedInSoil } from '../earth/expected-in-soil.ts'
import { solveField } from '../earth/field/field.ts'
import type { Segment } from '../earth/field/segment.ts'
import { segmentsOf } from '../earth/field/segments.ts'
import { fieldSoil, type LayeredSoil } from '../earth/layered-soil.ts'
import type { Electrode } from '../survey/register.ts'

/** Something that could be done, before it is held against measurement and limit. */
export interface Candidate {
  name: 'longer-rod' | 'more-rods' | 'ring' | 'wire' | 'rods-beside' | 'treat-soil'
  words: string
  /** Resistance afterwards over resistance before. */
  factor: number
  /** Relative standard uncertainty of the factor by the computation alone. */
  doubt: number
  /** How much of the current goes through ground the electrode did not reach before, 0 to 1. */
  newGround: number
  /** Metres of metal to drive or dig in. */
  metalM: number
  basis: string
}

export const FIELD_BASIS = 'field calculation, before and after in the same soil'
/** Joints, straightness and the rest of the model. Our own estimate, no source. */
export const FIELD_DOUBT = 0.04

/** The field calculation of these conductors in this soil, ohm; null where it has no answer. */
export function solvedOhm(segments: readonly Segment[], soil: LayeredSoil): number | null {
  const layers = fieldSoil(soil)
  return layers && (solveField(segments, layers)?.resistanceOhm ?? null)
}

/** Change from one electrode to another, by field where both have a picture, else by formula. */
export function changeFactor(
  before: Electrode,
  after: Electrode,
  soil: LayeredSoil,
): { factor: number; doubt: number; basis: string } | null {
  const [a, b] = [segmentsOf(before), segmentsOf(after)]
  const solved = a && b ? [solvedOhm(a, soil), solvedOhm(b, soil)] : [null, null]
  if (solved[0] && solved[1]) return { factor: solved[1] / solved[0], doubt: FIELD_DOUBT, basis: FIELD_BASIS }
  const [first, second] = [expectedInSoil(before, soil), expectedInSoil(after, soil)]
  if (!first || !second) return null
  return {
    factor: second.resistanceOhm / first.resistanceOhm,
    doubt: Math.hypot(first.relativeDoubt, second.relativeDoubt),
    basis: second.formula,
  }
}
