import type { Electrode } from '../../survey/register.ts'
import { USUAL_ROD_DIAMETER_M } from '../rods.ts'
import { USUAL_BURIAL_DEPTH_M, USUAL_WIRE_DIAMETER_M } from '../wires.ts'

/** A straight piece of conductor; z is depth, positive downwards. */
export interface Segment {
  from: Point
  to: Point
  radiusM: number
}
export interface Point {
  x: number
  y: number
  z: number
}

/**
 * The conductors of an electrode, centred on the origin, cut into short pieces; vertical rods start at the surface or at the register's
 * burial depth, groups stand along the y axis, wires lie along it. Null for kinds without such a picture (plate, foundation, footing,
 * other) and for missing dimensions.
 */
export function segmentsOf(electrode: Electrode): Segment[] | null {
  const depth = electrode.burialDepthM ?? USUAL_BURIAL_DEPTH_M
  const wireRadius = (electrode.diameterMm ?? 1000 * USUAL_WIRE_DIAMETER_M) / 2000
  switch (electrode.kind) {
    case 'rod':
    case 'rod-group': {
      if (!electrode.lengthM) return null
      const count = electrode.kind === 'rod' ? 1 : Math.max(1, Math.round(electrode.count ?? 1))
      const spacing = electrode.spacingM ?? electrode.lengthM
      const radius = (electrode.diameterMm ?? 1000 * USUAL_ROD_DIAMETER_M) / 2000
      const top = electrode.burialDepthM ?? 0
      return Array.from({ length: count }, (_, i) => (i - (count - 1) / 2) * spacing).flatMap((y) =>
        cut({ x: 0, y, z: top }, { x: 0, y, z: top + electrode.lengthM! }, radius, electrode.lengthM! / 10),
      )
    }
    case 'wire': {
      if (!electrode.lengthM) return null
      const half = electrode.lengthM / 2
      return cut(
        { x: 0, y: -half, z: depth },
        { x: 0, y: half, z: depth },
        wireRadius,
        electrode.lengthM / 24,
      )
    }
    case 'ring': {
      if (!electrode.diagonalM) return null
      const r = electrode.diagonalM / 2
      const corner = (i: number): Point => ({
        x: r * Math.cos((i * Math.PI) / 16),
        y: r * Math.sin((i * Math.PI) / 16),
        z: depth,
      })
      return Array.from({ length: 32 }, (_, i) => ({
        from: corner(i),
        to: corner(i + 1),
        radiusM: wireRadius,
      }))
    }
    case 'grid': {
      const area = electrode.areaM2 ?? (electrode.diagonalM ? electrode.diagonalM ** 2 / 2 : undefined)
      if (!area) return null
      const side = Math.sqrt(area)
      const meshes = Math.min(8, Math.max(1, Math.round(side / 5)))
      const at = (i: number) => -side / 2 + (i * side) / meshes
      const step = side / meshes / 3
      return Array.from({ length: meshes + 1 }, (_, i) => i).flatMap((i) => [
        ...cut({ x: at(i), y: -side / 2, z: depth }, { x: at(i), y: side / 2, z: depth }, wireRadius, step),
        ...cut({ x: -side / 2, y: at(i), z: depth }, { x: side / 2, y: at(i), z: depth }, wireRadius, step),
      ])
    }
    default:
      return null
  }
}

function cut(from: Point, to: Point, radiusM: number, stepM: number): Segment[] {
  const length = Math.hypot(to.x - from.x, to.y - from.y, to.z - from.z)
  const n = Math.max(1, Math.round(length / stepM))
  const at = (i: number): Point => ({
    x: from.x + ((to.x - from.x) * i) / n,
    y: from.y + ((to.y - from.y) * i) / n,
    z: from.z + ((to.z - from.z) * i) / n,
  })
  return Array.from({ length: n }, (_, i) => ({ from: at(i), to: at(i + 1), radiusM }))
}
