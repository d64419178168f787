import type { Segment } from './segment.ts'

/**
 * Pieces that mirror each other leak the same: groups of indices, each piece in exactly one. Mirrors tried: x, y, and x exchanged for y, about the
 * origin; one that does not carry every piece to another is not used. Without any, each piece is a group of its own.
 */
export function mirrorGroups(segments: readonly Segment[]): number[][] {
  const places = new Map(segments.map((segment, i) => [keyOf(segment, (x, y) => [x, y]), i]))
  const group = segments.map((_, i) => i)
  const find = (i: number): number => {
    let root = i
    while (group[root] !== root) root = group[root]!
    group[i] = root
    return root
  }
  for (const mirror of MIRRORS) {
    const images = segments.map((segment) => places.get(keyOf(segment, mirror)))
    if (images.some((image) => image === undefined)) continue
    images.forEach((image, i) => {
      group[find(i)] = find(image!)
    })
  }
  const groups = Map.groupBy(segments.keys(), find)
  return [...groups.values()]
}

type Mirror = (x: number, y: number) => [number, number]
const MIRRORS: readonly Mirror[] = [(x, y) => [-x, y], (x, y) => [x, -y], (x, y) => [y, x]]

/** The same for a piece run through either way; to a tenth of a millimetre. */
function keyOf({ from, to, radiusM }: Segment, mirror: Mirror): string {
  const end = ({ x, y, z }: Segment['from']): string =>
    [...mirror(x, y), z].map((value) => Math.round(value * 1e4) + 0).join(',')
  return [...[end(from), end(to)].sort(), radiusM].join(';')
}
