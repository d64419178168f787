import type { Electrode } from '../survey/register.ts'
import { expectedResistance } from './electrode-resistance.ts'
import { electrodeShape, relativeStrengthM } from './electrode-shape.ts'
import { surfaceKernelPerM } from './field/two-layer-soil.ts'
import { fieldSoil, type LayeredSoil } from './layered-soil.ts'
import type { ExpectedResistance } from './registered.ts'
import { rodInUpperLayerResistanceOhm, USUAL_ROD_DIAMETER_M } from './rods.ts'

/** What the estimate over two layers is wrong by against the field calculation, relative (rms over soils, see the tests). */
const LAYERED_DOUBT: Partial<Record<Electrode['kind'], number>> = { rod: 0.08, 'rod-group': 0.1 }
const LAYERED_DOUBT_ELSE = 0.15

/**
 * Expected resistance of a registered electrode over a site's soil, ohm, with the formula and its relative standard uncertainty (the
 * formula's only; the soil's own comes on top). Uniform soil as `expectedResistance`; a rod that ends in the upper layer by the published
 * series; all else in two layers by an estimate that joins the soil at the conductors to the soil far away, within 5 to 15 % of the field
 * calculation, for which see `field/field-resistance.ts`. Microseconds. Null for kind `other`, missing dimensions, or a soil that cannot be.
 */
export function expectedInSoil(electrode: Electrode, soil: LayeredSoil): ExpectedResistance | null {
  const layers = fieldSoil(soil)
  const uniform = expectedResistance(electrode, soil.upperOhmM)
  if (!layers || !uniform) return null
  if (layers.contrast === 0) return uniform
  const { kind, lengthM, diameterMm, burialDepthM = 0 } = electrode
  const single = kind === 'rod' || (kind === 'rod-group' && (electrode.count ?? 1) < 2)
  if (single && lengthM !== undefined && burialDepthM === 0 && lengthM < layers.depthM) {
    const diameterM = diameterMm === undefined ? USUAL_ROD_DIAMETER_M : diameterMm / 1000
    const resistanceOhm = rodInUpperLayerResistanceOhm(layers, lengthM, diameterM)
    if (resistanceOhm !== null)
      return { resistanceOhm, formula: 'rod in the upper of two layers (Tagg)', relativeDoubt: 0.03 }
  }
  const shape = electrodeShape(electrode)
  if (!shape) return null
  const strengthM = relativeStrengthM(
    shape,
    layers,
    (r, { contrast, depthM }) => surfaceKernelPerM(r, contrast, depthM) - 1 / r,
  )
  const resistanceOhm = uniform.resistanceOhm * (shape.hemisphereM / strengthM)
  if (!(resistanceOhm > 0 && Number.isFinite(resistanceOhm))) return null
  const doubt = LAYERED_DOUBT[kind] ?? LAYERED_DOUBT_ELSE
  return {
    resistanceOhm,
    formula: `${uniform.formula}, carried over to two layers`,
    relativeDoubt: Math.hypot(uniform.relativeDoubt, doubt),
  }
}
