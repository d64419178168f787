import type { Point, Segment } from './segment.ts'
import { thinnedImages } from './thinned-images.ts'
import type { Soil } from './two-layer-soil.ts'

/** Potentials in one soil, ohm (volt per ampere). */
export interface Green {
  /** At a point, from a straight segment that leaks one ampere evenly. The segment lies in one layer: cut it at the boundary first. */
  segmentOhm(segment: Segment, at: Point): number
  /** At a point, from a stake at the surface that leaks one ampere. */
  stakeOhm(stake: { x: number; y: number }, at: Point): number
}

/**
 * Potentials in two-layer soil by images. Formulas: Sunde, Heppe (from memory; checked by the uniform limit, by reciprocity and against
 * published rods and grids).
 */
export function greenOf(soil: Soil): Green {
  const { upperOhmM, contrast: k, depthM: h } = soil
  const images = thinnedImages(k)
  const uniform = images.length === 0
  const upper = upperOhmM / (4 * Math.PI)
  const lower = (upper * (1 + k)) / (1 - k)
  const across = upper * (1 + k)
  return {
    segmentOhm(segment, at) {
      const line = lineOf(segment, at)
      if (uniform) return upper * (line(0, 1, true) + line(0, -1))
      const sourceBelow = segment.from.z + segment.to.z > 2 * h
      const fieldBelow = at.z > h
      if (!sourceBelow && !fieldBelow) {
        let sum = line(0, 1, true) + line(0, -1)
        for (const { order, weight } of images) {
          const d = 2 * order * h
          sum += weight * (line(-d, 1) + line(d, 1) + line(-d, -1) + line(d, -1))
        }
        return upper * sum
      }
      if (sourceBelow && fieldBelow) {
        let above = line(0, -1)
        for (const { order, weight } of images) above += weight * line(-2 * order * h, -1)
        return lower * (line(0, 1, true) - k * line(2 * h, -1) + (1 - k * k) * above)
      }
      // Across the boundary: the images recede on the side of the source.
      let sum = line(0, 1) + line(0, -1)
      for (const { order, weight } of images) {
        const d = 2 * order * h
        sum += weight * ((sourceBelow ? line(d, 1) : line(-d, 1)) + line(-d, -1))
      }
      return across * sum
    },
    stakeOhm(stake, at) {
      const r2 = (stake.x - at.x) ** 2 + (stake.y - at.y) ** 2
      const from = (z: number): number => 1 / Math.sqrt(r2 + z * z)
      let sum = 2 * from(at.z)
      if (uniform) return upper * sum
      if (at.z <= h) {
        for (const { order, weight } of images) {
          const d = 2 * order * h
          sum += 2 * weight * (from(d - at.z) + from(d + at.z))
        }
        return upper * sum
      }
      for (const { order, weight } of images) sum += 2 * weight * from(2 * order * h + at.z)
      return across * sum
    },
  }
}

type Line = (shift: number, mirror: 1 | -1, own?: boolean) => number

/**
 * Mean of 1/distance from the point to the segment moved (and mirrored) in depth, 1/m: in closed form near by; from three lengths away by its
 * middle with the next term of the expansion, within 2e-4.
 */
function lineOf({ from, to, radiusM }: Segment, at: Point): Line {
  const dx = to.x - from.x
  const dy = to.y - from.y
  const dz = to.z - from.z
  const length2 = dx * dx + dy * dy + dz * dz
  const length = Math.sqrt(length2)
  const mx = (from.x + to.x) / 2 - at.x
  const my = (from.y + to.y) / 2 - at.y
  const middleZ = (from.z + to.z) / 2
  const flat2 = mx * mx + my * my
  const flatAlong = dx * mx + dy * my
  return (shift, mirror, own = false) => {
    const mz = mirror * middleZ + shift - at.z
    const r2 = flat2 + mz * mz
    const along = flatAlong + mirror * dz * mz
    if (r2 > 9 * length2) return (1 + ((3 * along * along) / r2 - length2) / (24 * r2)) / Math.sqrt(r2)
    let r1 = Math.sqrt(r2 - along + length2 / 4)
    let r3 = Math.sqrt(r2 + along + length2 / 4)
    // On the conductor itself the potential is that of its surface.
    if (own || r1 + r3 - length < 1e-9) {
      r1 = Math.sqrt(r1 * r1 + radiusM * radiusM)
      r3 = Math.sqrt(r3 * r3 + radiusM * radiusM)
    }
    return Math.log((r1 + r3 + length) / (r1 + r3 - length)) / length
  }
}
