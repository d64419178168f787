/** An image source: how many layer depths further down and up than the first, and its strength. */
export interface Image {
  order: number
  weight: number
}

/** So many images are kept as they are; the endless rest becomes FITTED ones. */
const KEPT = 4
const FITTED = 10
/** Beyond it images die away too slowly to be told from infinity. */
const MOST_CONTRAST = 0.998

/**
 * The images of a two-layer soil, kⁿ at order n = 1, 2, …, as 14 terms instead of some hundreds: their sum in the wave-number domain is
 * kt/(1 − kt), t = exp(−2 lambda h); what is left of it after the first four is fitted by least squares with powers of t at orders in geometric
 * steps. Potentials agree with the whole series within 1e-6 of the first term at a contrast of 0.9, 1e-4 at 0.99, 5e-4 at 0.998. The order-0
 * source is not in the list. Empty in uniform soil.
 */
export function thinnedImages(contrast: number): Image[] {
  const k = Math.min(MOST_CONTRAST, Math.max(-MOST_CONTRAST, contrast))
  if (!(Math.abs(k) > 1e-9)) return []
  const first = KEPT + 1
  const kept = Array.from({ length: KEPT }, (_, i) => ({ order: i + 1, weight: k ** (i + 1) }))
  // The slower they die away the farther out the fitted ones must reach; alternating ones cancel.
  const last = first + 8 + ((k > 0 ? 1 : 0.2) * 6) / (1 - Math.abs(k))
  const orders = Array.from({ length: FITTED }, (_, j) => first * (last / first) ** (j / (FITTED - 1)))
  const waves = [0, ...Array.from({ length: 80 }, (_, i) => (1e-4 * 8e4 ** (i / 79)) / first)]
  // Wave number 0 is the potential far away: it must be met.
  const stress = (i: number): number => (i === 0 ? 30 : 1)
  const rest = (wave: number): number => {
    const t = Math.exp(-wave)
    return (k * t) ** first / (1 - k * t)
  }
  const weights = leastSquares(
    waves.map((wave, i) => orders.map((order) => stress(i) * Math.exp(-order * wave))),
    waves.map((wave, i) => stress(i) * rest(wave)),
  )
  return [...kept, ...orders.map((order, j) => ({ order, weight: weights[j]! }))]
}

/** By orthogonal columns (modified Gram-Schmidt): the powers are too much alike for normal equations. */
function leastSquares(rows: readonly (readonly number[])[], right: readonly number[]): number[] {
  const n = rows[0]!.length
  const columns = Array.from({ length: n }, (_, j) => rows.map((row) => row[j]!))
  const rest = [...right]
  const upper = columns.map(() => new Float64Array(n))
  const along = new Float64Array(n)
  const dot = (a: readonly number[], b: readonly number[]): number =>
    a.reduce((sum, value, i) => sum + value * b[i]!, 0)
  for (let j = 0; j < n; j++) {
    const size = Math.sqrt(dot(columns[j]!, columns[j]!))
    columns[j] = columns[j]!.map((value) => value / size)
    const unit = columns[j]!
    upper[j]![j] = size
    for (let l = j + 1; l < n; l++) {
      const share = dot(unit, columns[l]!)
      upper[j]![l] = share
      columns[l] = columns[l]!.map((value, i) => value - share * unit[i]!)
    }
    const share = dot(unit, rest)
    along[j] = share
    rest.forEach((value, i) => {
      rest[i] = value - share * unit[i]!
    })
  }
  const found = new Array<number>(n).fill(0)
  for (let j = n - 1; j >= 0; j--) {
    let value = along[j]!
    for (let l = j + 1; l < n; l++) value -= upper[j]![l]! * found[l]!
    found[j] = value / upper[j]![j]!
  }
  return found
}
