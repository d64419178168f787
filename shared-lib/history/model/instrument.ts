/**
 * Has an instrument gone off since its calibration? A change-point problem over what it saw of all sites: before the change no
 * bias, after it one bias from a short list. A daily check on a known resistor enters as a sign of its own, far sharper.
 */

/** What an instrument read of a site at one visit less what the site's season led to expect, ln R. */
interface SiteReading {
  residual: number
  /** Variance of its electrodes' own scatter. */
  ownVar: number
}

/** What one visit says of an instrument. */
interface VisitSign extends SiteReading {
  /** Variance of what every instrument at this visit shares: season and weather. */
  sharedVar: number
  /** Share of visits at which season and weather were far from what was expected. */
  farShare: number
  /** The sharpest other instrument at the same visit, with what was believed of it before. */
  other: (SiteReading & { belief: BiasBelief }) | null
}

/** One sign of one instrument: a visit, or a reading of a known resistor. */
export type BiasSign = VisitSign | { check: true; residual: number; variance: number }

/** Chance of no bias, then of each of `BIASES`; adds to one. */
export type BiasBelief = Float64Array

/** Biases looked for, ln. Below ten per cent a bias stays hidden in season and weather. */
const BIASES = [-0.32, -0.26, -0.2, -0.15, -0.11, 0.1, 0.14, 0.18, 0.22, 0.26]
const STATES = [0, ...BIASES]
/** Changes a year; from simulated fleets, to be learnt. */
const RATE_A_YEAR = 0.06
/** Instruments of one batch and one calibration still differ by so much. */
const OWN_SD = 0.015
const CHECK_SD = 0.025

/**
 * What a visit that stands far off its season met (a drought, frost, a fault all share): mean, variance and part of such visits. Invented
 * sizes that suit simulated fleets of several kinds.
 */
const FAR = [
  { part: 0.8, mean: 0.2, variance: 0.3 ** 2 },
  { part: 0.2, mean: 0.2, variance: 0.8 ** 2 },
] as const
/** For one visit that is seen to stand far off there are some that stand half as far. */
const FAR_SEEN = 2

/** Just calibrated: no bias. */
export function freshBelief(): BiasBelief {
  const belief = new Float64Array(STATES.length)
  belief[0] = 1
  return belief
}

/** The belief `days` later: it may have gone off since. */
export function aged(belief: BiasBelief, days: number): BiasBelief {
  const moved = belief[0]! * Math.min(0.5, (RATE_A_YEAR * days) / 365.25)
  return belief.map((p, i) => (i === 0 ? p - moved : p + moved / BIASES.length))
}

/** The belief after one sign. */
export function afterSign(belief: BiasBelief, sign: BiasSign): BiasBelief {
  const next = belief.map((p, i) => p * likelihood(sign, STATES[i]!))
  const sum = next.reduce((a, p) => a + p, 0)
  return sum > 0 ? next.map((p) => p / sum) : belief
}

/** Chance that the instrument is off, and the likeliest size of its bias if it is, ln. */
export function biasOf(belief: BiasBelief): { chance: number; bias: number } {
  const chance = 1 - belief[0]!
  let weighted = 0
  for (let i = 1; i < STATES.length; i++) weighted += belief[i]! * STATES[i]!
  return { chance, bias: chance > 1e-9 ? weighted / chance : 0 }
}

function likelihood(sign: BiasSign, bias: number): number {
  // A bias is one of a list, so what lies between two of them must not look impossible to a sharp check.
  if ('check' in sign) return density(sign.residual - bias, sign.variance + CHECK_SD ** 2) + 1e-6
  const far = Math.min(0.3, FAR_SEEN * sign.farShare)
  let sum = (1 - far) * underWeather(sign, bias, 0, sign.sharedVar)
  for (const f of FAR) sum += far * f.part * underWeather(sign, bias, f.mean, sign.sharedVar + f.variance)
  return sum + 1e-6
}

/** Density of what the instrument and the other read, if the weather they share has this mean and variance. */
function underWeather(
  { residual, ownVar, other }: SiteReading & Pick<VisitSign, 'other'>,
  bias: number,
  mean: number,
  shared: number,
): number {
  const own = ownVar + OWN_SD ** 2
  const off = residual - bias - mean
  return density(off, own + shared) * (other ? beside(other, off, own, shared, mean) : 1)
}

/** Density of the other's reading once this one stands `off` the mean weather: the weather is the same, its bias may be any. */
function beside(
  other: SiteReading & { belief: BiasBelief },
  off: number,
  ownVar: number,
  shared: number,
  meanWeather: number,
): number {
  const gain = shared / (ownVar + shared)
  const variance = other.ownVar + OWN_SD ** 2 + gain * ownVar
  const expected = meanWeather + gain * off
  let sum = 0
  for (let i = 0; i < STATES.length; i++) {
    const p = other.belief[i]!
    if (p > 1e-9) sum += p * density(other.residual - STATES[i]! - expected, variance)
  }
  // A group of few electrodes may hold a broken one.
  return 0.95 * sum + 0.05 * density(other.residual - expected, variance + 0.4 ** 2)
}

function density(off: number, variance: number): number {
  return Math.exp((-0.5 * off * off) / variance) / Math.sqrt(2 * Math.PI * variance)
}
