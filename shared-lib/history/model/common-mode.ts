import type { Beliefs } from './beliefs.ts'

/**
 * What the site's electrodes share at one visit (season, drought, frost, an instrument that reads high), ln ohm:
 * estimated for each electrode from all the others and the season's prior, robustly.
 */

/** One electrode's word on it: how far it stands off its own level, over its own loading. */
export interface Residual {
  electrodeId: string
  day: number
  r: number
  variance: number
}

/** Before any reading of the visit. */
export interface SeasonPrior {
  mean: number
  variance: number
}

/** One possible value of the common mode for an electrode, with its share. */
export interface Shared {
  g: number
  variance: number
  share: number
  /** The part of both that is this electrode's own and not the site's: it is not remembered as the common mode. */
  own?: { ln: number; variance: number }
}

const DEGREES = 4

/** Doubt that two tests `days` apart met the same weather. */
function driftVariance(days: number, b: Beliefs): number {
  return days === 0 ? 0 : 2 * b.weatherSd ** 2 * (1 - Math.exp(-Math.abs(days) / b.weatherDays))
}

/** The residuals in order of size, so that medians of all but one cost a walk. */
export function sortedResiduals(residuals: readonly Residual[]): Residual[] {
  return [...residuals].sort((a, b) => a.r - b.r)
}

/**
 * Robust estimate from all residuals but those of `electrodeId` (null: from all) and the season's prior:
 * starts at the weighted median, then five rounds of t-like weights. Returns the number of peers used.
 */
export function estimateShared(
  sorted: readonly Residual[],
  electrodeId: string | null,
  day: number,
  prior: SeasonPrior,
  b: Beliefs,
): { g: number; variance: number; peers: number } {
  const r: number[] = []
  const s2: number[] = []
  let total = 1 / Math.sqrt(prior.variance)
  for (const x of sorted) {
    if (x.electrodeId === electrodeId) continue
    const v = x.variance + driftVariance(x.day - day, b)
    r.push(x.r)
    s2.push(v)
    total += 1 / Math.sqrt(v)
  }
  const peers = r.length
  if (peers === 0) return { g: prior.mean, variance: prior.variance, peers }
  let g = startAtMedian(r, s2, prior, total / 2)
  r.push(prior.mean)
  s2.push(prior.variance)
  let sum = 0
  for (let round = 0; round < 5; round++) {
    let weighted = 0
    sum = 0
    for (let i = 0; i < r.length; i++) {
      const off = r[i]! - g
      const w = (DEGREES + 1) / (DEGREES + (off * off) / s2[i]!) / s2[i]!
      sum += w
      weighted += w * r[i]!
    }
    g = weighted / sum
  }
  let scatter = 0
  for (let i = 0; i < r.length; i++) {
    const off = r[i]! - g
    scatter += (((DEGREES + 1) / (DEGREES + (off * off) / s2[i]!)) * off * off) / s2[i]!
  }
  const inflation = Math.min(4, Math.max(1, scatter / Math.max(1, r.length - 1)))
  return { g, variance: inflation / sum, peers }
}

function startAtMedian(
  r: readonly number[],
  s2: readonly number[],
  prior: SeasonPrior,
  half: number,
): number {
  let running = 0
  let priorDone = false
  for (let i = 0; i < r.length; i++) {
    if (!priorDone && prior.mean <= r[i]!) {
      running += 1 / Math.sqrt(prior.variance)
      priorDone = true
      if (running >= half) return prior.mean
    }
    running += 1 / Math.sqrt(s2[i]!)
    if (running >= half) return r[i]!
  }
  return prior.mean
}

/** What the common mode may be for one electrode; more than one value where few peers leave it open. */
export function sharedFor(
  sorted: readonly Residual[],
  electrodeId: string,
  day: number,
  prior: SeasonPrior,
  b: Beliefs,
): { options: Shared[]; peers: number } {
  const e = estimateShared(sorted, electrodeId, day, prior, b)
  const main: Shared = { g: e.g, variance: e.variance, share: 1 }
  if (e.peers === 0) {
    const drought: Shared = {
      g: prior.mean + b.droughtLn,
      variance: prior.variance + b.droughtSd ** 2,
      share: b.droughtShare,
    }
    return { options: [{ ...main, share: 1 - b.droughtShare }, drought], peers: 0 }
  }
  if (e.peers > 2) return { options: [main], peers: e.peers }
  if (Math.abs(e.g - prior.mean) > 3 * Math.sqrt(e.variance + prior.variance)) {
    const season: Shared = { g: prior.mean, variance: prior.variance, share: 0.5 }
    return { options: [{ ...main, share: 0.5 }, season], peers: e.peers }
  }
  for (const x of sorted) {
    if (x.electrodeId === electrodeId) continue
    const odd =
      Math.abs(x.r - e.g) > 4 * Math.sqrt(x.variance + e.variance) && Math.abs(x.r - prior.mean) < 1.2
    if (odd) {
      const that: Shared = { g: x.r, variance: x.variance, share: 0.2 }
      return { options: [{ ...main, share: 0.8 }, that], peers: e.peers }
    }
  }
  return { options: [main], peers: e.peers }
}

/** What ice near the surface adds, and how differently electrodes feel it, ln (measured factors 1.5 to 5; beliefs). */
const ICE = {
  ln: 0.7,
  sd: 0.5,
  ownSd: 0.3,
  share: 0.5,
  ownShare: 0.15,
  aloneLn: 0.35,
  aloneSd: 0.2,
  aloneShare: 0.05,
  thickLn: 0.15,
}
/** From so many frozen neighbours on, they tell what the ice does here. */
const ICE_PEERS = 3

/** Enough frozen neighbours that the ice is a season as any other, and the test one to learn from. */
export const iceIsKnown = (peers: number): boolean => peers >= ICE_PEERS

/**
 * The common mode of an electrode tested in frozen ground. Among enough frozen neighbours it is theirs, with a doubt that grows
 * with what the ice has added, for a deep electrode feels less of it, and a small chance that ice took hold of this one alone. With
 * fewer it may stand far up.
 */
export function frozenOver(
  shared: { options: Shared[]; peers: number },
  prior: SeasonPrior,
): { options: Shared[]; peers: number } {
  if (iceIsKnown(shared.peers)) {
    const options = shared.options.flatMap((o) => {
      const iceLn = Math.max(0, o.g - prior.mean)
      const own = (ICE.ownShare * iceLn) ** 2
      // Thin ice may reach the shallow one alone; where all have risen, it has reached all.
      const aloneShare = ICE.aloneShare * Math.max(0, 1 - iceLn / ICE.thickLn)
      const alone = own + ICE.aloneSd ** 2
      return [
        {
          g: o.g,
          variance: o.variance + own,
          share: o.share * (1 - aloneShare),
          own: { ln: 0, variance: own },
        },
        {
          g: o.g + ICE.aloneLn,
          variance: o.variance + alone,
          share: o.share * aloneShare,
          own: { ln: ICE.aloneLn, variance: alone },
        },
      ]
    })
    return { ...shared, options }
  }
  const wide = shared.options.map((o) => ({ ...o, variance: o.variance + ICE.ownSd ** 2 }))
  const iced: Shared = { g: prior.mean + ICE.ln, variance: prior.variance + ICE.sd ** 2, share: ICE.share }
  return { ...shared, options: [...wide.map((o) => ({ ...o, share: o.share * (1 - ICE.share) })), iced] }
}
