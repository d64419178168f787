import type { Point, Segment } from './segments.ts'
import { imageTerms, type Soil } from './two-layer-soil.ts'

/**
 * Potential at a point in ohm (volt per ampere) from a straight segment leaking one ampere evenly, in two-layer soil, by images.
 * The segment lies in one layer (cut it at the boundary first). Formulas: Sunde, Heppe (from memory; checked by the uniform limit, by
 * reciprocity and against published rods and grids).
 */
export function segmentPotentialOhm(segment: Segment, at: Point, soil: Soil): number {
  const { upperOhmM, contrast: k, depthM: h } = soil
  const middleZ = (segment.from.z + segment.to.z) / 2
  const terms = imageTerms(k)
  const line = (shift: number, mirror: 1 | -1, near = false) => inverse(segment, at, shift, mirror, near)
  if (terms === 0) return (upperOhmM / (4 * Math.PI)) * (line(0, 1, true) + line(0, -1))
  const sourceBelow = middleZ > h
  const fieldBelow = at.z > h
  let sum = 0
  let power = 1
  if (!sourceBelow && !fieldBelow) {
    sum = line(0, 1, true) + line(0, -1)
    for (let n = 1; n <= terms; n++) {
      power *= k
      const d = 2 * n * h
      sum += power * (line(-d, 1) + line(d, 1) + line(-d, -1) + line(d, -1))
    }
    return (upperOhmM / (4 * Math.PI)) * sum
  }
  if (sourceBelow && fieldBelow) {
    const lowerOhmM = (upperOhmM * (1 + k)) / (1 - k)
    sum = line(0, 1, true) - k * line(2 * h, -1)
    for (let n = 0; n <= terms; n++, power *= k) sum += (1 - k * k) * power * line(-2 * n * h, -1)
    return (lowerOhmM / (4 * Math.PI)) * sum
  }
  // Across the boundary: the images recede on the side of the source in the upper layer.
  for (let n = 0; n <= terms; n++, power *= k) {
    const d = 2 * n * h
    sum += sourceBelow ? power * (line(d, 1) + line(-d, -1)) : power * (line(-d, 1) + line(-d, -1))
  }
  return ((upperOhmM * (1 + k)) / (4 * Math.PI)) * sum
}

/** Potential at the surface of a point source of one ampere at the surface, ohm. */
export function stakePotentialOhm(fromM: { x: number; y: number }, at: Point, soil: Soil): number {
  const { upperOhmM, contrast: k, depthM: h } = soil
  const r2 = (fromM.x - at.x) ** 2 + (fromM.y - at.y) ** 2
  const terms = imageTerms(k)
  let power = 1
  if (at.z <= h || terms === 0) {
    let sum = 2 / Math.sqrt(r2 + at.z ** 2)
    for (let n = 1; n <= terms; n++) {
      power *= k
      const d = 2 * n * h
      sum += 2 * power * (1 / Math.sqrt(r2 + (d - at.z) ** 2) + 1 / Math.sqrt(r2 + (d + at.z) ** 2))
    }
    return (upperOhmM / (4 * Math.PI)) * sum
  }
  let sum = 0
  for (let n = 0; n <= terms; n++, power *= k) sum += (2 * power) / Math.sqrt(r2 + (2 * n * h + at.z) ** 2)
  return ((upperOhmM * (1 + k)) / (4 * Math.PI)) * sum
}

/** Mean of 1/distance over the segment moved (and mirrored) in depth, 1/m: exact near by, by its middle from three lengths away. */
function inverse(segment: Segment, at: Point, shift: number, mirror: 1 | -1, near: boolean): number {
  const { from, to, radiusM } = segment
  const z1 = mirror * from.z + shift
  const z2 = mirror * to.z + shift
  const length = Math.hypot(to.x - from.x, to.y - from.y, to.z - from.z)
  const middle = Math.hypot((from.x + to.x) / 2 - at.x, (from.y + to.y) / 2 - at.y, (z1 + z2) / 2 - at.z)
  if (middle > 4 * length) return 1 / middle
  let r1 = Math.hypot(from.x - at.x, from.y - at.y, z1 - at.z)
  let r2 = Math.hypot(to.x - at.x, to.y - at.y, z2 - at.z)
  // On the conductor itself the potential is that of its surface.
  if (near || r1 + r2 - length < 1e-9) {
    r1 = Math.hypot(r1, radiusM)
    r2 = Math.hypot(r2, radiusM)
  }
  return Math.log((r1 + r2 + length) / (r1 + r2 - length)) / length
}
