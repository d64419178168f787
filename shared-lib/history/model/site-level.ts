import { normalCdf } from '../statistics/normal.ts'
import type { Beliefs } from './beliefs.ts'
import { choleskyOf, solveLower, solveUpper } from './cholesky.ts'
import type { Residual } from './common-mode.ts'
import { seasonBasis } from './season.ts'
import { lnGamma } from './student.ts'

/**
 * Does the site as a whole go up, against its own season and past? Its electrodes cannot show it one by one: what all share is
 * taken off each. The levels of its visits are a regression on the season with, perhaps, a ramp or a step from one visit on.
 */

/** What one visit saw of the site, ln R above its electrodes' own levels, and each electrode's word on it. */
export interface SiteVisit {
  day: number
  g: number
  variance: number
  words: Residual[]
}

export interface SiteDrift {
  /** Chance that the site goes up and it is not season, weather or scatter. */
  chance: number
  /** How far it has gone up by the last visit, ln, and since which day. */
  riseLn: number
  sinceDay: number
  /** Each visit: level above the season, and the drift's part of it, ln. */
  fitted: { day: number; off: number; drift: number }[]
}

const FEWEST_VISITS = 4
const NEWEST_VISITS = 40
const DIM = 6
const ROUNDS = 4
const DEGREES = 5
/** Spread of a ramp's rate a year, and of a step. */
const RAMP_SD = 0.12
const STEP_SD = 0.4
/** How much the site's weather noise is worth in visits. */
const NOISE_SHAPE = 4

interface LevelFit {
  lnEvidence: number
  coefficients: number[]
  lastSd: number
}

/** Null with too few visits to say anything. `visits` in order of time. */
export function siteDriftOf(all: readonly SiteVisit[], b: Beliefs): SiteDrift | null {
  const visits = all.slice(-NEWEST_VISITS)
  const n = visits.length
  if (n < FEWEST_VISITS) return null
  const zero = () => 0
  const flat = fitLevel(visits, zero, 0, b)
  let sum = 0
  let best: { weight: number; tau: number; shape: (day: number) => number; fit: LevelFit } | null = null
  const candidates: { lnWeight: number; tau: number; shape: (day: number) => number; fit: LevelFit }[] = []
  for (let k = 0; k < n - 1; k++) {
    const gapYears = (visits[k + 1]!.day - visits[k]!.day) / 365.25
    const prior = Math.log((b.rateSiteDrift * Math.max(0.1, gapYears)) / 2)
    const tau = visits[k]!.day
    for (const [shape, sd] of shapesFrom(tau, k < n - 2)) {
      const fit = fitLevel(visits, shape, sd, b)
      const rises = Math.log(
        Math.max(1e-12, 2 * normalCdf(fit.coefficients[5]! / Math.max(1e-9, fit.lastSd))),
      )
      candidates.push({ lnWeight: prior + rises + fit.lnEvidence - flat.lnEvidence, tau, shape, fit })
    }
  }
  for (const c of candidates) {
    const weight = Math.exp(Math.min(50, c.lnWeight))
    sum += weight
    if (!best || weight > best.weight) best = { weight, tau: c.tau, shape: c.shape, fit: c.fit }
  }
  if (!best) return null
  const { coefficients } = best.fit
  const last = visits[n - 1]!
  return {
    chance: sum / (1 + sum),
    riseLn: coefficients[5]! * best.shape(last.day),
    sinceDay: best.tau,
    fitted: visits.map((v) => {
      const season = seasonBasis(v.day).reduce((a, x, i) => a + x * coefficients[i]!, 0)
      return { day: v.day, off: v.g - season, drift: coefficients[5]! * best.shape(v.day) }
    }),
  }
}

function shapesFrom(tau: number, stepToo: boolean): [(day: number) => number, number][] {
  const ramp = (day: number) => Math.max(0, day - tau) / 365.25
  const step = (day: number) => (day > tau ? 1 : 0)
  // A step needs two visits after it: one alone is a drought as well.
  return stepToo
    ? [
        [ramp, RAMP_SD],
        [step, STEP_SD],
      ]
    : [[ramp, RAMP_SD]]
}

/** Season and `shape` by a robust conjugate regression (Student weights, Laplace's evidence). */
function fitLevel(
  visits: readonly SiteVisit[],
  shape: (day: number) => number,
  shapeSd: number,
  b: Beliefs,
): LevelFit {
  const s0 = b.weatherSd ** 2
  const dim = shapeSd > 0 ? DIM : DIM - 1
  const variances = [
    b.siteLevelSd ** 2 + 0.05,
    b.seasonSd ** 2,
    b.seasonSd ** 2,
    b.halfYearSd ** 2,
    b.halfYearSd ** 2,
    shapeSd ** 2,
  ].slice(0, dim)
  const means = [0, b.seasonCos, b.seasonSin, 0, 0, 0].slice(0, dim)
  const rows = visits.map((v) => [...seasonBasis(v.day), shape(v.day)].slice(0, dim))
  const relative = visits.map((v) => 1 + v.variance / s0)
  let weights = relative.map((r) => 1 / r)
  let coefficients = means
  let factor: number[] = []
  let noise = s0
  let bn = 0
  const an = NOISE_SHAPE + visits.length / 2
  for (let round = 0; round < ROUNDS; round++) {
    const a = new Array<number>(dim * dim).fill(0)
    const right = means.map((m, i) => (s0 / variances[i]!) * m)
    for (let i = 0; i < dim; i++) a[i * dim + i] = s0 / variances[i]!
    rows.forEach((x, k) => {
      const w = weights[k]!
      for (let i = 0; i < dim; i++) {
        right[i] = right[i]! + w * x[i]! * visits[k]!.g
        for (let j = 0; j <= i; j++) a[i * dim + j] = a[i * dim + j]! + w * x[i]! * x[j]!
      }
    })
    factor = choleskyOf(a, dim)
    coefficients = solveUpper(factor, solveLower(factor, right, dim), dim)
    let misfit = 0
    for (let i = 0; i < dim; i++) misfit += (s0 / variances[i]!) * (coefficients[i]! - means[i]!) ** 2
    const off = rows.map((x, k) => visits[k]!.g - x.reduce((sum, xi, i) => sum + xi * coefficients[i]!, 0))
    off.forEach((o, k) => {
      misfit += weights[k]! * o * o
    })
    bn = NOISE_SHAPE * s0 + misfit / 2
    noise = bn / an
    weights = off.map((o, k) => (DEGREES + 1) / (DEGREES + (o * o) / (noise * relative[k]!)) / relative[k]!)
  }
  let lnDet = 0
  for (let i = 0; i < dim; i++) lnDet += 2 * Math.log(factor[i * dim + i]!) - Math.log(s0 / variances[i]!)
  const lnEvidence = -0.5 * lnDet + lnGamma(an) - an * Math.log(bn)
  const last = factor[dim * dim - 1]!
  return { lnEvidence, coefficients, lastSd: Math.sqrt(noise) / last }
}
