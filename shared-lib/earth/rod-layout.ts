import type { Electrode } from '../survey/register.ts'
import { usable } from './dimensions.ts'

export type RodLayout = 'line' | 'hollow-square' | 'circle'

/** A rod's place on the ground, m, the group centred on the origin. */
export interface Place {
  x: number
  y: number
}

/** Rods beyond this many change the answer no more than the layout does, which the register does not tell. */
export const MOST_RODS = 200

/**
 * How a registered group stands: in line, unless its longest dimension (`diagonal_m`) is under nine tenths of the line its spacing would
 * make; then on a hollow square where the number fits one (4, 8, 12 …), else on a circle.
 */
export function rodLayoutOf(electrode: Pick<Electrode, 'count' | 'spacingM' | 'diagonalM'>): RodLayout {
  const count = usable(electrode.count)
  const spacing = usable(electrode.spacingM)
  const across = usable(electrode.diagonalM)
  if (count === null || spacing === null || across === null || count < 3) return 'line'
  if (across >= 0.9 * (count - 1) * spacing) return 'line'
  return count % 4 === 0 ? 'hollow-square' : 'circle'
}

/** Where `count` rods stand with `spacingM` between neighbours; at most MOST_RODS places. A line lies along y. */
export function rodPlaces(layout: RodLayout, count: number, spacingM: number): Place[] {
  const n = Math.max(1, Math.min(MOST_RODS, Math.round(count)))
  const indices = Array.from({ length: n }, (_, i) => i)
  if (layout === 'line' || n < 3) return indices.map((i) => ({ x: 0, y: (i - (n - 1) / 2) * spacingM }))
  if (layout === 'circle' || n % 4 !== 0) {
    const radius = spacingM / (2 * Math.sin(Math.PI / n))
    return indices.map((i) => ({
      x: radius * Math.cos((2 * Math.PI * i) / n),
      y: radius * Math.sin((2 * Math.PI * i) / n),
    }))
  }
  const steps = n / 4
  const half = (steps * spacingM) / 2
  return indices.map((i) => {
    const along = (i % steps) * spacingM - half
    const side = Math.floor(i / steps)
    if (side === 0) return { x: along, y: -half }
    if (side === 1) return { x: half, y: along }
    return side === 2 ? { x: -along, y: half } : { x: -half, y: -along }
  })
}
