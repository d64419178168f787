/**
 * The plain fits (every visit counts as its own doubt says) of a site's season alone, and of a ramp or a step that began with some
 * visit. Under fixed weights the sums over the visits from there on are ready made, and the equations are those of the season with one row
 * more: so each costs the same few steps however many visits there are, where the robust fit walks over all of them four times.
 */

/** The season's equations under the first weights, as `levelRegression` has them. */
interface SeasonEquations {
  /** The season's terms of each visit, the constant 1 first. */
  terms: readonly Float64Array[]
  /** Each visit's level, and its variance as a multiple of `s0`. */
  g: Float64Array
  relative: Float64Array
  /** Years since some day that all share. */
  years: Float64Array
  /** Cholesky factor of the equations, row by row, `stride` numbers a row, and their right side. */
  factor: Float64Array
  stride: number
  right: Float64Array
  /** Weighted squares of the levels and of the prior means: the misfit of all coefficients 0. */
  square: number
  /** Variance of a visit's level by weather. */
  s0: number
  /** Of a misfit, and of ln of what the shape adds to the determinant over its prior's. */
  noiseOf(misfit: number): number
  lnEvidence(misfit: number, lnDet: number): number
}

export interface PlainFit {
  lnEvidence: number
  /** How far it goes up, a year for a ramp, and the standard deviation of that. */
  rise: number
  riseSd: number
}

export interface PlainFits {
  /** Of the season alone, with the farthest visit from it, in standard deviations. */
  flat: { lnEvidence: number; farthest: number }
  /** As `LevelRegression.fit` with a step from visit `from` on, or a ramp that begins at the visit before it. */
  begun(shape: 'ramp' | 'step', from: number, shapeSd: number): PlainFit
}

const TINY = 1e-12

export function plainFits(season: SeasonEquations): PlainFits {
  const { terms, g, relative, years, factor, stride, right } = season
  const n = g.length
  const dim = terms.length
  const columns = [...terms, g]
  // Sums from each visit to the last: of the weights times each column, the same times the years, and times their square.
  const sums = columns.map((x) => fromEach(n, (k) => x[k]! / relative[k]!))
  const timesYears = columns.map((x) => fromEach(n, (k) => (x[k]! * years[k]!) / relative[k]!))
  const squares = fromEach(n, (k) => (years[k]! * years[k]!) / relative[k]!)
  /** Solves for the lower half, in place; returns what of the squares that explains. */
  const lowerHalf = (x: Float64Array): number => {
    let explained = 0
    for (let i = 0; i < dim; i++) {
      for (let j = 0; j < i; j++) x[i]! -= factor[i * stride + j]! * x[j]!
      x[i]! /= factor[i * stride + i]!
      explained += x[i]! * x[i]!
    }
    return explained
  }
  const solved = right.slice(0, dim)
  const flatMisfit = season.square - lowerHalf(solved)
  const row = new Float64Array(dim)
  return {
    flat: {
      lnEvidence: season.lnEvidence(flatMisfit, 0),
      farthest: Math.sqrt(farthestSquare(season, solved) / season.noiseOf(flatMisfit)),
    },
    begun(shape, from, shapeSd) {
      const precision = season.s0 / shapeSd ** 2
      let corner = precision + sums[0]![from]!
      let rest = sums[dim]![from]!
      if (shape === 'step') for (let i = 0; i < dim; i++) row[i] = sums[i]![from]!
      else {
        const tau = years[from - 1]!
        for (let i = 0; i < dim; i++) row[i] = timesYears[i]![from]! - tau * sums[i]![from]!
        corner = precision + squares[from]! - tau * (2 * timesYears[0]![from]! - tau * sums[0]![from]!)
        rest = timesYears[dim]![from]! - tau * sums[dim]![from]!
      }
      const pivot = Math.sqrt(Math.max(TINY, corner - lowerHalf(row)))
      for (let i = 0; i < dim; i++) rest -= row[i]! * solved[i]!
      const last = rest / pivot
      const misfit = flatMisfit - last * last
      return {
        lnEvidence: season.lnEvidence(misfit, 2 * Math.log(pivot) - Math.log(precision)),
        rise: last / pivot,
        riseSd: Math.sqrt(season.noiseOf(misfit)) / pivot,
      }
    },
  }
}

/** Largest squared distance of a visit from the season alone, by its own variance. */
function farthestSquare(
  { terms, g, relative, factor, stride }: SeasonEquations,
  solved: Float64Array,
): number {
  const dim = terms.length
  const coefficients = solved.slice()
  for (let i = dim - 1; i >= 0; i--) {
    for (let j = i + 1; j < dim; j++) coefficients[i]! -= factor[j * stride + i]! * coefficients[j]!
    coefficients[i]! /= factor[i * stride + i]!
  }
  let farthest = 0
  for (let k = 0; k < g.length; k++) {
    let off = g[k]!
    for (let i = 0; i < dim; i++) off -= coefficients[i]! * terms[i]![k]!
    farthest = Math.max(farthest, (off * off) / relative[k]!)
  }
  return farthest
}

function fromEach(n: number, at: (k: number) => number): Float64Array {
  const sums = new Float64Array(n)
  for (let k = n - 1, sum = 0; k >= 0; k--) {
    sum += at(k)
    sums[k] = sum
  }
  return sums
}
