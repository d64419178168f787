import { yearsBetween } from '../days.ts'
import { normalCdf } from '../statistics/normal.ts'
import type { Beliefs } from './beliefs.ts'
import { type LevelFit, type LevelRegression, levelRegression } from './level-regression.ts'
import type { PlainFit, PlainFits } from './plain-fits.ts'
import type { SiteVisit } from './site-visit.ts'

/**
 * Does the site as a whole go up, against its own season and past? Its electrodes cannot show it one by one: what all share is
 * taken off each. The levels of its visits are a regression on the season with, perhaps, a ramp or a step from one visit on.
 */

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
/** Spread of a ramp's rate a year, and of a step. */
const RAMP_SD = 0.12
const STEP_SD = 0.4

interface Candidate {
  tau: number
  shape: Float64Array
  fit: LevelFit
  weight: number
}

/**
 * Where no visit lies farther from the season than this, in standard deviations, weighing far ones less changes next to nothing, and the
 * plain fit tells whether anything has begun. Checked on simulated operators of seven kinds: no drift was missed by it.
 */
const NONE_FAR = 3
/** Odds of anything having begun that are not looked into: told is only what is many times likelier than not. */
const NO_CHANCE = 0.5

/** Null with too few visits to say anything, or where nothing has begun. `visits` in order of time. */
export function siteDriftOf(all: readonly SiteVisit[], b: Beliefs): SiteDrift | null {
  const visits = all.slice(-NEWEST_VISITS)
  const n = visits.length
  if (n < FEWEST_VISITS) return null
  const regression = levelRegression(visits, b)
  const plain = regression.plain()
  if (plain.flat.farthest < NONE_FAR && plainOdds(visits, plain, b) < NO_CHANCE) return null
  const flat = regression.fit(new Float64Array(n), n, 0)
  const { sum, best } = weighStarts(visits, regression, flat, b)
  if (!best) return null
  const { tau, shape, fit } = best
  const rise = fit.coefficients[5]!
  const season = regression.seasonOf(fit.coefficients)
  return {
    chance: sum / (1 + sum),
    riseLn: rise * shape[n - 1]!,
    sinceDay: tau,
    fitted: visits.map((v, k) => ({ day: v.day, off: v.g - season[k]!, drift: rise * shape[k]! })),
  }
}

/** Every ramp and step that may have begun, against the season alone: their weights together, and the weightiest. */
function weighStarts(
  visits: readonly SiteVisit[],
  regression: LevelRegression,
  flat: LevelFit,
  b: Beliefs,
): { sum: number; best: Candidate | null } {
  const n = visits.length
  let sum = 0
  let best: Candidate | null = null
  for (let k = 0; k < n - 1; k++) {
    const prior = lnPrior(visits, k, b)
    const tau = visits[k]!.day
    for (const [shape, sd] of shapesFrom(visits, k)) {
      const fit = regression.fit(shape, k + 1, sd)
      const rises = lnRises(fit.coefficients[5]!, fit.lastSd)
      const weight = Math.exp(Math.min(50, prior + rises + fit.lnEvidence - flat.lnEvidence))
      sum += weight
      if (!best || weight > best.weight) best = { weight, tau, shape, fit }
    }
  }
  return { sum, best }
}

/** The sum of the weights by the plain fits, which is all that is wanted of them. */
function plainOdds(visits: readonly SiteVisit[], { flat, begun }: PlainFits, b: Beliefs): number {
  const last = visits.length - 1
  let sum = 0
  for (let k = 0; k < last; k++) {
    const prior = lnPrior(visits, k, b)
    const oddsOf = ({ lnEvidence, rise, riseSd }: PlainFit) =>
      Math.exp(Math.min(50, prior + lnRises(rise, riseSd) + lnEvidence - flat.lnEvidence))
    sum += oddsOf(begun('ramp', k + 1, RAMP_SD))
    // As in `shapesFrom`.
    if (k + 1 < last) sum += oddsOf(begun('step', k + 1, STEP_SD))
  }
  return sum
}

/** That something has begun between visit `k` and the next, half of it a ramp and half a step. */
function lnPrior(visits: readonly SiteVisit[], k: number, b: Beliefs): number {
  const gapYears = yearsBetween(visits[k]!.day, visits[k + 1]!.day)
  return Math.log((b.rateSiteDrift * Math.max(0.1, gapYears)) / 2)
}

/** That it goes up, where both ways were possible beforehand. */
const lnRises = (rise: number, sd: number): number =>
  Math.log(Math.max(1e-12, 2 * normalCdf(rise / Math.max(1e-9, sd))))

/** What may have begun with visit `k`: a ramp, or a step after it; each with the prior spread of its size. */
function shapesFrom(visits: readonly SiteVisit[], k: number): [Float64Array, number][] {
  const tau = visits[k]!.day
  const ramp = new Float64Array(visits.length)
  for (let i = k + 1; i < visits.length; i++) ramp[i] = yearsBetween(tau, visits[i]!.day)
  // A step needs two visits after it: one alone is a drought as well.
  if (k >= visits.length - 2) return [[ramp, RAMP_SD]]
  const step = new Float64Array(visits.length).fill(1, k + 1)
  return [
    [ramp, RAMP_SD],
    [step, STEP_SD],
  ]
}
