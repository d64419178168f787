import { apparentRatio } from './four-point.ts'

/** A four-point reading as the search wants it. */
export interface LogPoint {
  spacingM: number
  potentialSpacingM: number
  /** ln of the apparent resistivity, ohm-m. */
  lnOhmM: number
  weight: number
}

export interface TwoLayers {
  lnUpper: number
  /** ln of lower over upper. */
  lnRatio: number
  lnDepth: number
  /** Weighted sum of squares of ln rho, the belief beforehand included. */
  squares: number
  /** The same without that belief: what the readings miss. */
  misfitSquares: number
  /** Standard uncertainties of ln upper, ln lower and ln depth for this relative noise of one reading. */
  doubts(noise: number): [number, number, number]
}

/** The layers differ by at most this factor: beyond it the readings cannot tell. */
const MOST_LN_RATIO = Math.log(300)
/**
 * Beforehand the layers differ by a factor of e^1.5 and the depth is the middle of the spacings within as much; the search weighs that like
 * one reading of 5 % noise. What the readings do not tell stays finite, and what they do hardly moves. Our own estimate, no source.
 */
const PRIOR_SPREAD = 1.5
const PRIOR_NOISE = 0.05
const STARTS = 4

/**
 * ln rho of the upper layer follows from the other two unknowns (a mean), so the search is over contrast and depth only: a grid, then
 * damped Gauss-Newton steps from its best places. Null when nothing finite is found.
 */
export function bestTwoLayers(points: readonly LogPoint[]): TwoLayers | null {
  const widest = Math.max(...points.map((point) => point.spacingM + point.potentialSpacingM))
  const narrowest = Math.min(...points.map((point) => point.spacingM))
  const bounds = { low: Math.log(narrowest / 8), high: Math.log(widest) }
  const middle = (bounds.low + bounds.high) / 2
  const at = (lnRatio: number, lnDepth: number): Trial => tryLayers(points, middle, lnRatio, lnDepth)
  const starts: Trial[] = []
  for (let i = -8; i <= 8; i++)
    for (let j = 0; j <= 10; j++) {
      if (i !== 0)
        starts.push(at((i / 8) * MOST_LN_RATIO, bounds.low + (j / 10) * (bounds.high - bounds.low)))
    }
  const best = starts
    .sort((a, b) => a.squares - b.squares)
    .slice(0, STARTS)
    .map((start) => descend(start, at, bounds))
    .reduce((a, b) => (b.squares < a.squares ? b : a))
  if (!Number.isFinite(best.squares)) return null
  const missed = best.residuals.slice(0, points.length).reduce((sum, r) => sum + r * r, 0)
  return { ...best, misfitSquares: missed, doubts: (noise) => doubtsOf(points, best, noise) }
}

interface Trial {
  lnUpper: number
  lnRatio: number
  lnDepth: number
  /** Residual of each reading, times the root of its weight. */
  residuals: number[]
  squares: number
}

function tryLayers(
  points: readonly LogPoint[],
  middleLnDepth: number,
  lnRatio: number,
  lnDepth: number,
): Trial {
  const shape = points.map((point) => shapeAt(point, lnRatio, lnDepth))
  const weight = points.reduce((sum, point) => sum + point.weight, 0)
  const lnUpper = points.reduce((sum, p, i) => sum + p.weight * (p.lnOhmM - shape[i]!), 0) / weight
  const residuals = points.map((p, i) => Math.sqrt(p.weight) * (p.lnOhmM - lnUpper - shape[i]!))
  residuals.push(
    (PRIOR_NOISE * lnRatio) / PRIOR_SPREAD,
    (PRIOR_NOISE * (lnDepth - middleLnDepth)) / PRIOR_SPREAD,
  )
  return { lnUpper, lnRatio, lnDepth, residuals, squares: residuals.reduce((sum, r) => sum + r * r, 0) }
}

function shapeAt(point: LogPoint, lnRatio: number, lnDepth: number): number {
  const contrast = Math.tanh(lnRatio / 2)
  return Math.log(apparentRatio(point.spacingM, contrast, Math.exp(lnDepth), point.potentialSpacingM))
}

/** Levenberg-Marquardt with derivatives by differences, inside the bounds. */
function descend(
  start: Trial,
  at: (lnRatio: number, lnDepth: number) => Trial,
  bounds: { low: number; high: number },
): Trial {
  const step = 1e-4
  let here = start
  let damping = 1e-3
  for (let turn = 0; turn < 40 && damping < 1e6; turn++) {
    const byRatio = at(here.lnRatio + step, here.lnDepth)
    const byDepth = at(here.lnRatio, here.lnDepth + step)
    let [a, b, c, d, e] = [0, 0, 0, 0, 0]
    here.residuals.forEach((r, i) => {
      const u = (r - byRatio.residuals[i]!) / step
      const v = (r - byDepth.residuals[i]!) / step
      a += u * u
      b += u * v
      c += v * v
      d += u * r
      e += v * r
    })
    const [p, q] = [a * (1 + damping) + 1e-12, c * (1 + damping) + 1e-12]
    const determinant = p * q - b * b
    const next = at(
      clamp(here.lnRatio + (d * q - e * b) / determinant, -MOST_LN_RATIO, MOST_LN_RATIO),
      clamp(here.lnDepth + (p * e - b * d) / determinant, bounds.low, bounds.high),
    )
    if (next.squares < here.squares) {
      const gain = here.squares - next.squares
      here = next
      damping /= 10
      if (gain < 1e-12 * (here.squares + 1e-12)) break
    } else damping *= 10
  }
  return here
}

/** From the normal equations in ln upper, ln ratio and ln depth with the weak prior on the last two. */
function doubtsOf(points: readonly LogPoint[], best: Trial, noise: number): [number, number, number] {
  const step = 1e-4
  const m = [
    [0, 0, 0],
    [0, 1 / PRIOR_SPREAD ** 2, 0],
    [0, 0, 1 / PRIOR_SPREAD ** 2],
  ]
  for (const point of points) {
    const base = shapeAt(point, best.lnRatio, best.lnDepth)
    const slopes = [
      1,
      (shapeAt(point, best.lnRatio + step, best.lnDepth) - base) / step,
      (shapeAt(point, best.lnRatio, best.lnDepth + step) - base) / step,
    ]
    const w = point.weight / noise ** 2
    for (let i = 0; i < 3; i++) for (let j = 0; j < 3; j++) m[i]![j]! += w * slopes[i]! * slopes[j]!
  }
  const v = inverse3(m)
  const lower = v[0]![0]! + v[1]![1]! + 2 * v[0]![1]!
  return [v[0]![0]!, lower, v[2]![2]!].map((value) => Math.sqrt(Math.max(0, value))) as [
    number,
    number,
    number,
  ]
}

function inverse3(m: readonly (readonly number[])[]): number[][] {
  const at = (i: number, j: number): number => m[i % 3]![j % 3]!
  const cofactor = (i: number, j: number): number =>
    at(i + 1, j + 1) * at(i + 2, j + 2) - at(i + 1, j + 2) * at(i + 2, j + 1)
  const determinant = at(0, 0) * cofactor(0, 0) + at(0, 1) * cofactor(0, 1) + at(0, 2) * cofactor(0, 2)
  return [0, 1, 2].map((i) => [0, 1, 2].map((j) => cofactor(j, i) / determinant))
}

const clamp = (value: number, low: number, high: number): number => Math.min(high, Math.max(low, value))
