import type { Electrode } from '../survey/register.ts'
import { expectedResistance } from './electrode-resistance.ts'
import { electrodeSizeM } from './electrode-size.ts'
import { layerTermPerM, type SoilGuess } from './layered-line.ts'
import { USUAL_BURIAL_DEPTH_M } from './wires.ts'

/** What the fall of potential needs to know of an electrode. */
export interface ElectrodeShape {
  sizeM: number
  /** Equivalent hemisphere in uniform soil, m. */
  hemisphereM: number
  /** How well the register's dimensions tell it, as a relative standard uncertainty. */
  hemisphereDoubt: number
  /** From here outwards the current spreads as from a hemisphere of this radius, m. */
  spreadM: number
  /** Depth from `topM` to `bottomM` is where its conductors lie. */
  topM: number
  bottomM: number
  /** One rod: its form near by is known, whatever the bearing of the line. */
  straightDown: boolean
  /** Potential at the surface in uniform soil, times 2 pi/(rho I), 1/m. */
  surfaceTermPerM(distanceM: number): number
  /** Where the tape was probably laid from, when nobody says: distances from the centre, m, with their weights. */
  origins: readonly { offsetM: number; weight: number }[]
}

/**
 * Where, in sizes of the electrode, the spreading begins: chosen once so that `relativeStrength` agrees with the moment method over
 * contrasts of −0.9 to 0.9 and depths of 0.5 to 16 m (rms 5 % for rods, 6 % for groups, 9 % for wires of 8 to 60 m, rings of 6 to 40 m and
 * stars of 10 m arms, 13 % for grids).
 */
const SPREAD_IN_SIZES: Partial<Record<Electrode['kind'], number>> = {
  rod: 1,
  'rod-group': 0.75,
  wire: 0.2,
  ring: 0.45,
}
const SPREAD_OF_STARS = 0.27
const SPREAD_OF_AREAS = 0.3

/** Hand formulas for grids lie 5 to 18 % above a field calculation (IEEE 80 Annex B cases): the middle of that. */
const GRID_FORMULA_HIGH = 1.11

/** Null when the register does not tell the size. */
export function electrodeShape(electrode: Electrode): ElectrodeShape | null {
  const sizeM = electrodeSizeM(electrode)
  if (sizeM === null) return null
  const { kind } = electrode
  const expected = expectedResistance(electrode, 1)
  const rods = kind === 'rod' || kind === 'rod-group'
  const known = expected
    ? (kind === 'grid' ? GRID_FORMULA_HIGH : 1) / (2 * Math.PI * expected.resistanceOhm)
    : sizeM / 6
  const hemisphereM = Math.min(known, sizeM / 2)
  const depthM = electrode.burialDepthM ?? (rods ? 0 : USUAL_BURIAL_DEPTH_M)
  const lengthM = rods ? (electrode.lengthM ?? sizeM) : 0
  const radiusM = (sizeM / (2 * Math.SQRT2)) * Math.sqrt(4 / Math.PI)
  const half = sizeM / 2
  return {
    sizeM,
    hemisphereM,
    hemisphereDoubt: !expected
      ? 0.6
      : kind === 'rod'
        ? 0.06
        : kind === 'rod-group'
          ? 0.08
          : kind === 'wire'
            ? 0.12
            : kind === 'grid'
              ? 0.14
              : 0.35,
    spreadM: Math.max(
      hemisphereM,
      (kind === 'wire' && (electrode.count ?? 1) > 1
        ? SPREAD_OF_STARS
        : (SPREAD_IN_SIZES[kind] ?? SPREAD_OF_AREAS)) * sizeM,
    ),
    straightDown: kind === 'rod',
    topM: depthM,
    bottomM: depthM + lengthM,
    surfaceTermPerM:
      kind === 'rod'
        ? (r) => Math.asinh(lengthM / r) / lengthM
        : kind === 'grid' || kind === 'plate' || kind === 'foundation'
          ? (r) => Math.asin(Math.min(1, radiusM / r)) / radiusM
          : (r) => 1 / r,
    origins:
      kind === 'rod' || kind === 'wire' || kind === 'plate'
        ? [{ offsetM: 0, weight: 1 }]
        : kind === 'rod-group'
          ? [
              { offsetM: 0, weight: 0.4 },
              { offsetM: half, weight: 0.6 },
            ]
          : [
              { offsetM: 0, weight: 0.3 },
              { offsetM: half / Math.SQRT2, weight: 0.7 },
            ],
  }
}

/**
 * K/R of the electrode over this soil, m, K = rho1/2 pi: what the fall along the line is in proportion to the resistance. Near the
 * electrode the current sees the soil its conductors lie in, farther out the two layers; in uniform soil it is the equivalent hemisphere.
 * `layerPerM` stands in for the table where a soil is asked for once only.
 */
export function relativeStrengthM(
  shape: ElectrodeShape,
  soil: Pick<SoilGuess, 'contrast' | 'depthM'>,
  layerPerM: (distanceM: number, soil: Pick<SoilGuess, 'contrast' | 'depthM'>) => number = layerTermPerM,
): number {
  if (soil.contrast === 0) return shape.hemisphereM
  const { topM, bottomM, hemisphereM, spreadM } = shape
  const ratio = (1 + soil.contrast) / (1 - soil.contrast)
  const length = bottomM - topM
  const above =
    length > 0 ? Math.min(1, Math.max(0, (soil.depthM - topM) / length)) : soil.depthM >= topM ? 1 : 0
  const local = 1 / (above + (1 - above) / ratio)
  return 1 / (local * (1 / hemisphereM - 1 / spreadM) + 1 / spreadM + layerPerM(spreadM, soil))
}

/** Where a strong boundary lies within reach of the conductors, `relativeStrengthM` itself is off by up to this (see SPREAD_IN_SIZES). */
const BOUNDARY_DOUBT = 0.05

/** Relative standard uncertainty of K/R over this soil. */
export function strengthDoubt(shape: ElectrodeShape, soil: Pick<SoilGuess, 'contrast' | 'depthM'>): number {
  const within = Math.abs(soil.contrast) > 0.3 && soil.depthM < 1.5 * shape.bottomM
  return Math.hypot(shape.hemisphereDoubt, within ? BOUNDARY_DOUBT : 0)
}

/**
 * How far the electrode's true form may differ near by from what is computed: this much of 1/r times (size/r)². A rod in the upper layer is
 * computed as a rod; through a boundary, and for spread-out electrodes whose bearing nobody knows, it is an estimate.
 */
export function formDoubt(shape: ElectrodeShape, soil: SoilGuess): number {
  if (!shape.straightDown) return 0.06
  return soil.contrast === 0 || soil.depthM >= shape.bottomM ? 0.01 : 0.03
}

/** Stands in where the register does not tell the size: something between a rod and a grid, and hardly trusted. */
export function genericShape(currentProbeM: number): ElectrodeShape {
  const sizeM = currentProbeM / 10
  const hemisphereM = sizeM / 6
  return {
    sizeM,
    hemisphereM,
    hemisphereDoubt: 0.8,
    spreadM: sizeM / 2,
    straightDown: false,
    topM: 0,
    bottomM: sizeM,
    surfaceTermPerM: (r) => 1 / r,
    origins: [{ offsetM: 0, weight: 1 }],
  }
}
