import type { Place } from '../rod-layout.ts'
import type { Point, Segment } from './segment.ts'

/** Builders of conductors, cut into short pieces. Metres; z is depth, positive downwards. */

/** A straight conductor in about `pieces` equal ones. */
export function cut(from: Point, to: Point, radiusM: number, pieces: number): Segment[] {
  const n = Math.max(1, Math.round(pieces))
  const at = (i: number): Point => ({
    x: from.x + ((to.x - from.x) * i) / n,
    y: from.y + ((to.y - from.y) * i) / n,
    z: from.z + ((to.z - from.z) * i) / n,
  })
  return Array.from({ length: n }, (_, i) => ({ from: at(i), to: at(i + 1), radiusM }))
}

/** Vertical rods at these places. */
export function rodConductors(
  places: readonly Place[],
  topM: number,
  lengthM: number,
  radiusM: number,
  pieces: number,
): Segment[] {
  return places.flatMap(({ x, y }) => cut({ x, y, z: topM }, { x, y, z: topM + lengthM }, radiusM, pieces))
}

/** A ring of `pieces` chords. */
export function ringConductor(acrossM: number, depthM: number, radiusM: number, pieces: number): Segment[] {
  const corner = (i: number): Point => ({
    x: (acrossM / 2) * Math.cos((2 * Math.PI * i) / pieces),
    y: (acrossM / 2) * Math.sin((2 * Math.PI * i) / pieces),
    z: depthM,
  })
  return Array.from({ length: pieces }, (_, i) => ({ from: corner(i), to: corner(i + 1), radiusM }))
}

/** Equal arms from the origin, evenly turned; two make a right angle. */
export function starConductor(
  arms: number,
  armM: number,
  depthM: number,
  radiusM: number,
  pieces: number,
): Segment[] {
  const turn = arms === 2 ? Math.PI / 2 : (2 * Math.PI) / arms
  return Array.from({ length: arms }, (_, i) => i * turn).flatMap((angle) =>
    cut(
      { x: 0, y: 0, z: depthM },
      { x: armM * Math.cos(angle), y: armM * Math.sin(angle), z: depthM },
      radiusM,
      pieces,
    ),
  )
}

/** A grid of crossing wires, `meshesX` by `meshesY`, each side of a mesh in `perMesh` pieces. */
export function gridConductor(
  [sideX, sideY]: readonly [number, number],
  [meshesX, meshesY]: readonly [number, number],
  depthM: number,
  radiusM: number,
  perMesh: number,
): Segment[] {
  const z = depthM
  const lines = (n: number): number[] => Array.from({ length: n + 1 }, (_, i) => i / n - 0.5)
  return [
    ...lines(meshesX).flatMap((share) =>
      cut(
        { x: share * sideX, y: -sideY / 2, z },
        { x: share * sideX, y: sideY / 2, z },
        radiusM,
        perMesh * meshesY,
      ),
    ),
    ...lines(meshesY).flatMap((share) =>
      cut(
        { x: -sideX / 2, y: share * sideY, z },
        { x: sideX / 2, y: share * sideY, z },
        radiusM,
        perMesh * meshesX,
      ),
    ),
  ]
}
