import type { LearningBasis, Parameters, SiteAssessmentInput } from '../assessment.ts'
import { type Beliefs, DEFAULT_BELIEFS } from '../model/beliefs.ts'
import { seasonBasis } from '../model/season.ts'
import { defaultParameters } from '../parameters.ts'
import { MAD_TO_SD, medianOr } from '../statistics/robust-scale.ts'
import { thresholdsFrom } from './learn-thresholds.ts'
import { lessonsOf, type SiteLessons } from './site-lessons.ts'

export interface LearntParameters extends Parameters {
  basis: LearningBasis
}

/** One site with all that is known of it; parameters come from the operator. */
export type SiteHistory = Omit<SiteAssessmentInput, 'parameters' | 'asOfMs'>

/** How many numbers the default is worth against the operator's own. */
const WORTH = { differences: 200, visits: 60, follows: 60, curves: 100 }

/**
 * Learns an operator's beliefs (noise, season, weather, how electrodes follow their site, curve shape, wander) from its own
 * surveys without labels: robust estimates, each shrunk to the default as far as little stands behind it. The same sites give the
 * same parameters in any order. Thresholds by code are learnt from decisions; rates of events are not learnt.
 */
export async function learnParameters(
  sites: AsyncIterable<SiteHistory> | Iterable<SiteHistory>,
  previous: Parameters = defaultParameters,
): Promise<LearntParameters> {
  const all: SiteLessons[] = []
  for await (const site of sites) all.push(lessonsOf(site, previous))
  const surveys = all.reduce((n, l) => n + l.surveys, 0)
  const loud = all.reduce((n, l) => n + l.loud, 0)
  const { beliefs, numbers } = beliefsFrom(all)
  const { thresholds, decided } = thresholdsFrom(all.flatMap((l) => l.decided))
  const taught = Object.keys(thresholds).length > 0
  return {
    version: versionOf(taught ? { ...beliefs, thresholds } : beliefs),
    noiseLn: beliefs.noiseSd,
    seasonLn: digits(Math.hypot(beliefs.seasonCos, beliefs.seasonSin) + beliefs.seasonSd),
    beliefs,
    ...(taught ? { thresholds } : {}),
    basis: {
      sites: all.filter((l) => l.surveys > 0).length,
      electrodes: all.reduce((n, l) => n + l.electrodes, 0),
      surveys,
      findingsPer100: surveys === 0 ? 0 : digits((100 * loud) / surveys),
      numbers,
      ...(Object.keys(decided).length > 0 ? { decided } : {}),
    },
  }
}

type Learnt =
  | 'noiseSd'
  | 'wanderVar'
  | 'seasonCos'
  | 'seasonSin'
  | 'seasonSd'
  | 'weatherSd'
  | 'loadingVar'
  | 'lagVar'
  | 'shapeOffset'
  | 'readingSd'

function beliefsFrom(all: readonly SiteLessons[]): {
  beliefs: Pick<Beliefs, Learnt>
  numbers: LearningBasis['numbers']
} {
  const numbers: LearningBasis['numbers'] = {}
  const settle = (key: Learnt, found: number | null, n: number, worth: number, spread = false): number => {
    const before = DEFAULT_BELIEFS[key]
    numbers[key] = found === null ? 0 : n
    if (found === null) return before
    const share = n / (n + worth)
    // Spreads are shrunk as ratios, so that none can reach zero by a lucky draw.
    if (spread) return digits(before * Math.max(0.05, found / before) ** share)
    return digits(before + share * (found - before))
  }
  const differences = all.flatMap((l) => l.differences)
  const short = differences.filter((d) => d.years < SHORT_YEARS)
  const noiseFrom = short.length >= 30 ? short : differences
  const noise = noiseFrom.length >= 10 ? (1.03 * madOf(noiseFrom.map((d) => d.ln))) / Math.SQRT2 : null
  const season = seasonFrom(all)
  const follows = all.flatMap((l) => l.follows).sort((a, b) => a.slope - b.slope)
  const following = followSpread(follows)
  const steepness = all.flatMap((l) => l.steepness)
  const bends = all.flatMap((l) => l.bends)
  const beliefs: Pick<Beliefs, Learnt> = {
    noiseSd: settle('noiseSd', noise, noiseFrom.length, WORTH.differences, true),
    wanderVar: settle('wanderVar', wanderFrom(differences), differences.length, 4 * WORTH.differences, true),
    seasonCos: settle('seasonCos', season?.cos ?? null, season?.n ?? 0, WORTH.visits),
    seasonSin: settle('seasonSin', season?.sin ?? null, season?.n ?? 0, WORTH.visits),
    seasonSd: settle('seasonSd', season?.betweenSites ?? null, season?.sites ?? 0, WORTH.visits / 4, true),
    weatherSd: settle('weatherSd', season?.weather ?? null, season?.n ?? 0, WORTH.visits, true),
    loadingVar: settle('loadingVar', following, follows.length, WORTH.follows, true),
    lagVar: settle('lagVar', following, follows.length, WORTH.follows, true),
    shapeOffset: settle('shapeOffset', medianIf(steepness), steepness.length, WORTH.curves),
    readingSd: settle(
      'readingSd',
      bends.length >= 20 ? madOf(bends) / 2 : null,
      bends.length,
      WORTH.curves,
      true,
    ),
  }
  return { beliefs, numbers }
}

const SHORT_YEARS = 2
const LONG_YEARS = 3.5

/** Variance a year by which differences over long gaps exceed those over short ones. */
function wanderFrom(differences: readonly { ln: number; years: number }[]): number | null {
  const short = differences.filter((d) => d.years < SHORT_YEARS)
  const long = differences.filter((d) => d.years > LONG_YEARS)
  if (short.length < 50 || long.length < 50) return null
  const years = (list: typeof short) => list.reduce((a, d) => a + d.years, 0) / list.length
  const gain = madOf(long.map((d) => d.ln)) ** 2 - madOf(short.map((d) => d.ln)) ** 2
  return Math.max(0, gain) / (years(long) - years(short))
}

/** The fleet's season by robust regression of the visits' effects; the spread of the sites around it; what is left is weather. */
function seasonFrom(all: readonly SiteLessons[]): {
  cos: number
  sin: number
  betweenSites: number | null
  weather: number
  n: number
  sites: number
} | null {
  const effects = all.flatMap((l) => l.effects)
  if (effects.length < 12) return null
  const fleet = robustSeason(effects, 1e-6)
  const perSite: number[] = []
  const rest: number[] = []
  for (const { effects: own } of all) {
    if (own.length < 8) continue
    const less = own.map((e) => ({ day: e.day, ln: e.ln - at(fleet, e.day) }))
    const fit = robustSeason(less, 1)
    perSite.push(fit[1], fit[2])
    const left = madOf(less.map((e) => e.ln - at(fit, e.day)))
    rest.push(left * Math.sqrt(own.length / Math.max(3, own.length - 4.2)))
  }
  const overall = madOf(effects.map((e) => e.ln - at(fleet, e.day)))
  return {
    cos: fleet[1],
    sin: fleet[2],
    betweenSites: perSite.length >= 8 ? Math.max(0.02, madOf(perSite)) : null,
    weather: Math.max(0.015, rest.length >= 4 ? medianOr(rest, overall) : overall),
    n: effects.length,
    sites: perSite.length / 2,
  }
}

type Yearly = readonly [number, number, number]

const at = (f: Yearly, day: number): number => {
  const x = seasonBasis(day)
  return f[0] + f[1] * x[1] + f[2] * x[2]
}

/** Constant, cosine and sine by iteratively reweighted least squares (Huber, corner at twice the scale), with a ridge. */
function robustSeason(points: readonly { day: number; ln: number }[], ridge: number): Yearly {
  let fit: Yearly = [0, 0, 0]
  let weights = points.map(() => 1)
  for (let round = 0; round < 6; round++) {
    const a = [ridge * 1e-3, 0, 0, 0, ridge, 0, 0, 0, ridge]
    const r = [0, 0, 0]
    points.forEach((p, k) => {
      const x = seasonBasis(p.day)
      const w = weights[k]!
      for (let i = 0; i < 3; i++) {
        r[i] = r[i]! + w * x[i]! * p.ln
        for (let j = 0; j < 3; j++) a[i * 3 + j] = a[i * 3 + j]! + w * x[i]! * x[j]!
      }
    })
    fit = solve3(a, r)
    const off = points.map((p) => p.ln - at(fit, p.day))
    const corner = 2 * Math.max(0.03, madOf(off))
    weights = off.map((o) => Math.min(1, corner / Math.max(1e-12, Math.abs(o))))
  }
  return fit
}

function solve3(a: readonly number[], r: readonly number[]): Yearly {
  const det = (m: readonly number[]) =>
    m[0]! * (m[4]! * m[8]! - m[5]! * m[7]!) -
    m[1]! * (m[3]! * m[8]! - m[5]! * m[6]!) +
    m[2]! * (m[3]! * m[7]! - m[4]! * m[6]!)
  const whole = det(a)
  if (Math.abs(whole) < 1e-12) return [0, 0, 0]
  const column = (c: number) => a.map((v, i) => (i % 3 === c ? r[Math.floor(i / 3)]! : v))
  return [det(column(0)) / whole, det(column(1)) / whole, det(column(2)) / whole]
}

/** Variance between electrodes of how they follow their site: what their slopes scatter beyond their own errors. */
function followSpread(follows: readonly { slope: number; se: number }[]): number | null {
  if (follows.length < 15) return null
  const seen = madOf(follows.map((f) => f.slope)) ** 2
  return Math.max(
    0.01,
    seen -
      medianOr(
        follows.map((f) => f.se),
        0,
      ) **
        2,
  )
}

function madOf(values: readonly number[]): number {
  return MAD_TO_SD * medianOr(values.map(Math.abs), 0)
}

function medianIf(values: readonly number[]): number | null {
  return values.length >= 20 ? medianOr(values, 0) : null
}

/** Four digits: what is stored is what is used, and more would pretend. */
function digits(x: number): number {
  return Number(x.toPrecision(4))
}

/** A name for exactly these beliefs. FNV-1a over their text, so that equal beliefs have equal versions. */
function versionOf(beliefs: object): string {
  let hash = 0x811c9dc5
  for (const c of JSON.stringify(beliefs)) hash = Math.imul(hash ^ c.charCodeAt(0), 0x01000193)
  return `learnt-${(hash >>> 0).toString(36)}`
}
