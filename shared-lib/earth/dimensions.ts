import type { Electrode } from '../survey/register.ts'

/** A registered dimension in metres (or m², or a count) that can be one; null when absent or beyond a micrometre to a thousand kilometres. */
export function usable(value: number | undefined): number | null {
  return value !== undefined && value > 1e-6 && value < 1e6 ? value : null
}

/** The electrode's area, m²: as registered, else of the square with the registered diagonal; null when neither is known. */
export function areaOf(electrode: Electrode): number | null {
  const area = usable(electrode.areaM2)
  if (area !== null) return area
  const diagonal = usable(electrode.diagonalM)
  return diagonal === null ? null : diagonal ** 2 / 2
}

/** A ring's diameter, m: its longest dimension, else from its area, else from its length of wire. */
export function ringAcrossOf(electrode: Electrode): number | null {
  const across = usable(electrode.diagonalM)
  if (across !== null) return across
  const area = usable(electrode.areaM2)
  if (area !== null) return Math.sqrt((4 * area) / Math.PI)
  const length = usable(electrode.lengthM)
  return length === null ? null : length / Math.PI
}

/** The sides of a rectangle with this area and diagonal, m, the longer first; the square of that area where no rectangle has both. */
export function sidesOf(areaM2: number, diagonalM: number | null): [number, number] {
  const square = Math.sqrt(areaM2)
  if (diagonalM === null) return [square, square]
  const sum = Math.sqrt(diagonalM ** 2 + 2 * areaM2)
  const difference = Math.sqrt(Math.max(0, diagonalM ** 2 - 2 * areaM2))
  const sides: [number, number] = [(sum + difference) / 2, (sum - difference) / 2]
  // A diagonal ten times the width is more likely a slip, or a form that is no rectangle.
  return sides[1] > sides[0] / 10 && Math.abs(sides[0] * sides[1] - areaM2) < 0.05 * areaM2
    ? sides
    : [square, square]
}
