import type { Electrode } from '../../survey/register.ts'
import { areaOf, ringAcrossOf, sidesOf, usable } from '../dimensions.ts'
import { rodLayoutOf, rodPlaces } from '../rod-layout.ts'
import { USUAL_ROD_DIAMETER_M } from '../rods.ts'
import { USUAL_BURIAL_DEPTH_M, USUAL_WIRE_DIAMETER_M } from '../wires.ts'
import { cut, gridConductor, ringConductor, rodConductors, starConductor } from './conductors.ts'
import type { Segment } from './segment.ts'

/** So many pieces at most: more would cost seconds. */
export const MOST_PIECES = 600
/** A denser grid is computed with this many meshes a side; its resistance is then high by a percent or two. */
const MOST_MESHES = 10

/**
 * The conductors of an electrode, centred on the origin, cut into short pieces; vertical rods start at the surface or at the register's
 * burial depth, groups in line stand along the y axis, wires lie along it. Missing diameters and depths take usual values. Null for kinds
 * without such a picture (plate, foundation, footing, other), for missing dimensions and for more than MOST_PIECES.
 */
export function segmentsOf(electrode: Electrode): Segment[] | null {
  const depthM = usable(electrode.burialDepthM) ?? USUAL_BURIAL_DEPTH_M
  const radiusM = (usable(electrode.diameterMm) ?? 1000 * USUAL_WIRE_DIAMETER_M) / 2000
  const lengthM = usable(electrode.lengthM)
  switch (electrode.kind) {
    case 'rod':
    case 'rod-group': {
      if (lengthM === null) return null
      const count = electrode.kind === 'rod' ? 1 : Math.max(1, Math.round(usable(electrode.count) ?? 1))
      const pieces = count <= 3 ? 20 : count <= 16 ? 10 : 6
      if (count * pieces > MOST_PIECES) return null
      const spacingM = usable(electrode.spacingM) ?? lengthM
      const places = rodPlaces(rodLayoutOf({ ...electrode, spacingM }), count, spacingM)
      const rodRadiusM = (usable(electrode.diameterMm) ?? 1000 * USUAL_ROD_DIAMETER_M) / 2000
      return rodConductors(places, usable(electrode.burialDepthM) ?? 0, lengthM, rodRadiusM, pieces)
    }
    case 'wire': {
      if (lengthM === null) return null
      const arms = Math.round(usable(electrode.count) ?? 1)
      if (arms > 1) return arms > 12 ? null : starConductor(arms, lengthM, depthM, radiusM, 16)
      return cut({ x: 0, y: -lengthM / 2, z: depthM }, { x: 0, y: lengthM / 2, z: depthM }, radiusM, 40)
    }
    case 'ring': {
      const acrossM = ringAcrossOf(electrode)
      return acrossM === null ? null : ringConductor(acrossM, depthM, radiusM, 32)
    }
    case 'grid': {
      const areaM2 = areaOf(electrode)
      if (areaM2 === null) return null
      const sides = sidesOf(areaM2, usable(electrode.diagonalM))
      const meshes = meshesOf(sides, lengthM)
      const wires = meshes[0] * (meshes[1] + 1) + meshes[1] * (meshes[0] + 1)
      const perMesh = Math.max(1, Math.min(3, Math.floor((0.75 * MOST_PIECES) / wires)))
      return gridConductor(sides, meshes, depthM, radiusM, perMesh)
    }
    default:
      return null
  }
}

/** Meshes along each side: as the conductor's length makes them when it is registered, else of about 5 m (common practice, no source). */
function meshesOf([long, short]: readonly [number, number], conductorM: number | null): [number, number] {
  const known = conductorM !== null && conductorM >= 2 * (long + short)
  // Square meshes of m metres hold (long/m + 1) short + (short/m + 1) long of wire.
  const meshM = known ? (2 * long * short) / Math.max(1e-9, conductorM - long - short) : 5
  const count = (side: number): number => Math.min(MOST_MESHES, Math.max(1, Math.round(side / meshM)))
  return [count(long), count(short)]
}
