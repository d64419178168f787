/** How near a ratio must lie to a power of ten, as a ratio itself: the readings along a line differ among themselves. */
const NEAR = 1.25

/**
 * The power of ten (0.001 to 1000, never 1) by which one value differs from others of its kind; null when it differs by none.
 * A slip of the decimal sign or of the unit's prefix differs so. Values in one unit, all above 0, in any order.
 */
export function powerOfTen(value: number, others: readonly number[]): number | null {
  if (others.length === 0) return null
  const sorted = others.toSorted((a, b) => a - b)
  const ratio = value / sorted[Math.floor(sorted.length / 2)]!
  const exponent = Math.round(Math.log10(ratio))
  if (exponent === 0 || !(Math.abs(exponent) <= 3)) return null
  const power = 10 ** exponent
  return Math.max(ratio / power, power / ratio) <= NEAR ? power : null
}
