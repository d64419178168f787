import { yearsBetween } from '../days.ts'
import type { Beliefs } from './beliefs.ts'
import { type PlainFits, plainFits } from './plain-fits.ts'
import { seasonBasis } from './season.ts'
import type { SiteVisit } from './site-visit.ts'
import { lnGamma } from './student.ts'

/** Season (five terms) and one shape more. */
const SEASON = 5
const DIM = 6
const ROUNDS = 4
const DEGREES = 5
/** How much the site's weather noise is worth in visits. */
const NOISE_SHAPE = 4
/** Pivots have a floor, so nothing here can become not-a-number. */
const TINY = 1e-12

export interface LevelFit {
  lnEvidence: number
  /** Season, then the shape's; 0 without a shape. */
  coefficients: Float64Array
  /** Standard deviation of the last one. */
  lastSd: number
}

export interface LevelRegression {
  /** The season's part of each visit's level by these coefficients, ln. */
  seasonOf(coefficients: Float64Array): number[]
  /**
   * Fits season and `shape` (one number a visit, none before the visit `from`) with prior `shapeSd` for its coefficient; 0 fits the
   * season alone.
   */
  fit(shape: Float64Array, from: number, shapeSd: number): LevelFit
  /** The plain fits, in which visits far from the curve count as all others do. */
  plain(): PlainFits
}

/**
 * A site's levels by robust conjugate regression (Student weights, Laplace's evidence). Some eighty shapes are tried on the same visits, so
 * all that they share is worked out here once, and the sums run over several numbers at a time.
 */
export function levelRegression(visits: readonly SiteVisit[], b: Beliefs): LevelRegression {
  const n = visits.length
  const s0 = b.weatherSd ** 2
  const means = Float64Array.of(0, b.seasonCos, b.seasonSin, 0, 0, 0)
  const precision = Float64Array.of(
    s0 / (b.siteLevelSd ** 2 + 0.05),
    s0 / b.seasonSd ** 2,
    s0 / b.seasonSd ** 2,
    s0 / b.halfYearSd ** 2,
    s0 / b.halfYearSd ** 2,
    0,
  )
  const c1 = new Float64Array(n)
  const s1 = new Float64Array(n)
  const c2 = new Float64Array(n)
  const s2 = new Float64Array(n)
  const g = new Float64Array(n)
  const relative = new Float64Array(n)
  for (const [k, visit] of visits.entries()) {
    ;[, c1[k], s1[k], c2[k], s2[k]] = seasonBasis(visit.day)
    g[k] = visit.g
    relative[k] = 1 + visit.variance / s0
  }
  const an = NOISE_SHAPE + n / 2
  const lnGammaAn = lnGamma(an)
  const weights = new Float64Array(n)
  const off = new Float64Array(n)
  const a = new Float64Array(DIM * DIM)
  const right = new Float64Array(DIM)
  const factor = new Float64Array(DIM * DIM)
  /** The season's equations and their factor under the first weights, which are the same whatever shape is tried. */
  const firstA = new Float64Array(DIM * DIM)
  const firstRight = new Float64Array(DIM)
  const firstFactor = new Float64Array(DIM * DIM)

  /** Lower half of the season's normal equations under the present weights. */
  function sumSeason(): void {
    let [a00, a10, a11, a20, a21, a22] = [precision[0]!, 0, precision[1]!, 0, 0, precision[2]!]
    let [a30, a31, a32, a33] = [0, 0, 0, precision[3]!]
    let [a40, a41, a42, a43, a44] = [0, 0, 0, 0, precision[4]!]
    let [r0, r1, r2] = [precision[0]! * means[0]!, precision[1]! * means[1]!, precision[2]! * means[2]!]
    let [r3, r4] = [precision[3]! * means[3]!, precision[4]! * means[4]!]
    for (let k = 0; k < n; k++) {
      const w = weights[k]!
      const wx1 = w * c1[k]!
      const wx2 = w * s1[k]!
      const y = g[k]!
      a00 += w
      a10 += wx1
      a11 += wx1 * c1[k]!
      a20 += wx2
      a21 += wx2 * c1[k]!
      a22 += wx2 * s1[k]!
      r0 += w * y
      r1 += wx1 * y
      r2 += wx2 * y
    }
    for (let k = 0; k < n; k++) {
      const w = weights[k]!
      const wx3 = w * c2[k]!
      const wx4 = w * s2[k]!
      const x1 = c1[k]!
      const x2 = s1[k]!
      a30 += wx3
      a31 += wx3 * x1
      a32 += wx3 * x2
      a33 += wx3 * c2[k]!
      a40 += wx4
      a41 += wx4 * x1
      a42 += wx4 * x2
      a43 += wx4 * c2[k]!
      a44 += wx4 * s2[k]!
      r3 += wx3 * g[k]!
      r4 += wx4 * g[k]!
    }
    a[0] = a00
    a[6] = a10
    a[7] = a11
    a[12] = a20
    a[13] = a21
    a[14] = a22
    a[18] = a30
    a[19] = a31
    a[20] = a32
    a[21] = a33
    a[24] = a40
    a[25] = a41
    a[26] = a42
    a[27] = a43
    a[28] = a44
    right[0] = r0
    right[1] = r1
    right[2] = r2
    right[3] = r3
    right[4] = r4
  }

  /** The last row of them, of the shape. */
  function sumShape(shape: Float64Array, from: number): void {
    let [a50, a51, a52, a53, a54, a55, r5] = [0, 0, 0, 0, 0, precision[5]!, 0]
    for (let k = from; k < n; k++) {
      const x = shape[k]!
      const wx = weights[k]! * x
      a50 += wx
      a51 += wx * c1[k]!
      a52 += wx * s1[k]!
      a53 += wx * c2[k]!
      a54 += wx * s2[k]!
      a55 += wx * x
      r5 += wx * g[k]!
    }
    a[30] = a50
    a[31] = a51
    a[32] = a52
    a[33] = a53
    a[34] = a54
    a[35] = a55
    right[5] = r5
  }

  /** Cholesky factor of the equations, row by row from `from` on (those before it are there). */
  function factorise(from: number, dim: number): void {
    for (let i = from; i < dim; i++)
      for (let j = 0; j <= i; j++) {
        let sum = a[i * DIM + j]!
        for (let k = 0; k < j; k++) sum -= factor[i * DIM + k]! * factor[j * DIM + k]!
        factor[i * DIM + j] = i === j ? Math.sqrt(Math.max(TINY, sum)) : sum / factor[j * DIM + j]!
      }
  }

  /** The coefficients that solve the factorised equations. */
  function solve(coefficients: Float64Array, dim: number): void {
    for (let i = 0; i < dim; i++) {
      let x = right[i]!
      for (let k = 0; k < i; k++) x -= factor[i * DIM + k]! * coefficients[k]!
      coefficients[i] = x / factor[i * DIM + i]!
    }
    for (let i = dim - 1; i >= 0; i--) {
      let x = coefficients[i]!
      for (let k = i + 1; k < dim; k++) x -= factor[k * DIM + i]! * coefficients[k]!
      coefficients[i] = x / factor[i * DIM + i]!
    }
  }

  for (let k = 0; k < n; k++) weights[k] = 1 / relative[k]!
  sumSeason()
  factorise(0, SEASON)
  firstA.set(a)
  firstRight.set(right)
  firstFactor.set(factor)

  const lnDetOf = (of: Float64Array, dim: number): number => {
    let lnDet = 0
    for (let i = 0; i < dim; i++) lnDet += 2 * Math.log(of[i * DIM + i]!) - Math.log(precision[i]!)
    return lnDet
  }
  const noiseOf = (misfit: number) => (NOISE_SHAPE * s0 + misfit / 2) / an
  const lnEvidence = (misfit: number, lnDet: number) =>
    -0.5 * lnDet + lnGammaAn - an * Math.log(NOISE_SHAPE * s0 + misfit / 2)

  return {
    seasonOf: (c) =>
      visits.map((_, k) => c[0]! + c[1]! * c1[k]! + c[2]! * s1[k]! + c[3]! * c2[k]! + c[4]! * s2[k]!),
    plain() {
      let square = 0
      for (let i = 0; i < SEASON; i++) square += precision[i]! * means[i]! ** 2
      for (let k = 0; k < n; k++) square += (g[k]! * g[k]!) / relative[k]!
      return plainFits({
        ...{ terms: [new Float64Array(n).fill(1), c1, s1, c2, s2], g, relative },
        years: Float64Array.from(visits, (visit) => yearsBetween(visits[0]!.day, visit.day)),
        ...{ factor: firstFactor, stride: DIM, right: firstRight, square, s0, noiseOf },
        lnEvidence: (misfit, lnDet) => lnEvidence(misfit, lnDet + lnDetOf(firstFactor, SEASON)),
      })
    },
    fit(shape, from, shapeSd) {
      const dim = shapeSd > 0 ? DIM : SEASON
      precision[5] = shapeSd > 0 ? s0 / shapeSd ** 2 : 0
      const coefficients = new Float64Array(DIM)
      for (let k = 0; k < n; k++) weights[k] = 1 / relative[k]!
      let noise = s0
      let misfit = 0
      for (let round = 0; round < ROUNDS; round++) {
        if (round === 0) {
          a.set(firstA)
          right.set(firstRight)
          factor.set(firstFactor)
        } else sumSeason()
        if (dim === DIM) sumShape(shape, from)
        factorise(round === 0 ? SEASON : 0, dim)
        solve(coefficients, dim)
        const b0 = coefficients[0]!
        const b1 = coefficients[1]!
        const b2 = coefficients[2]!
        const b3 = coefficients[3]!
        const b4 = coefficients[4]!
        const b5 = coefficients[5]!
        misfit = 0
        for (let i = 0; i < dim; i++) misfit += precision[i]! * (coefficients[i]! - means[i]!) ** 2
        // First the misfit, which gives the noise by which the new weights are made.
        for (let k = 0; k < n; k++) {
          const season = b0 + b1 * c1[k]! + b2 * s1[k]! + b3 * c2[k]! + b4 * s2[k]!
          const o = g[k]! - season - (k < from ? 0 : b5 * shape[k]!)
          misfit += weights[k]! * o * o
          off[k] = o
        }
        noise = noiseOf(misfit)
        // (d + 1)/(d + o²/(noise·relative))/relative, in one division.
        const perNoise = 1 / noise
        if (round + 1 < ROUNDS)
          for (let k = 0; k < n; k++)
            weights[k] = (DEGREES + 1) / (DEGREES * relative[k]! + off[k]! * off[k]! * perNoise)
      }
      const last = factor[(dim - 1) * (DIM + 1)]!
      return {
        lnEvidence: lnEvidence(misfit, lnDetOf(factor, dim)),
        coefficients,
        lastSd: Math.sqrt(noise) / last,
      }
    },
  }
}
