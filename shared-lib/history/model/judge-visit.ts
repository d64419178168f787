import { setUpMatters } from '../rules/notices.ts'
import type { Beliefs } from './beliefs.ts'
import {
  estimateShared,
  frozenOver,
  type Residual,
  type SeasonPrior,
  type Shared,
  sharedFor,
  sortedResiduals,
} from './common-mode.ts'
import { causeWeights, densityAt, expectedOf, normalise, outlooksOf } from './explanations.ts'
import { pastStories } from './histories.ts'
import { levelPrior, type SoilNews } from './level-prior.ts'
import { type Member, sharesSoil, strangeVar } from './member.ts'
import { meanAt, varianceAt } from './prediction.ts'
import { repetition } from './repetition.ts'
import { lnKappa, shapeLikelihoods } from './shape.ts'
import type { Sighting } from './sighting.ts'
import type { Verdict } from './verdict.ts'
import type { Entry } from './visits.ts'
import { type Candidate, mixUps } from './wrong-electrode.ts'

/** How a visit's instrument read the site as a whole. */
export interface GroupEstimate {
  instrumentId: string | null
  day: number
  g: number
  variance: number
  tests: { electrodeId: string; surveyRef: string }[]
}

interface MixUpCandidate extends Candidate<MixUpCandidate> {
  member: Member
}

interface Draft extends Verdict {
  residual: Residual
  weights: number[]
}

/** Mean and variance of the season before the visit, and its rate of change. */
export interface SeasonNow extends SeasonPrior {
  quadrature: number
}

/**
 * Judges one round of a visit from the state before it. `known` are residuals of earlier rounds of the same visit (a retest
 * has the first round's peers). Returns verdicts in the order of the entries and what each instrument saw.
 */
export function judgeRound(
  entries: readonly Entry[],
  members: readonly Member[],
  season: SeasonNow,
  known: readonly Residual[],
  b: Beliefs,
): { verdicts: Verdict[]; groups: GroupEstimate[]; residuals: Residual[] } {
  // Weather adds to what the season leaves open.
  const prior: SeasonPrior = { mean: season.mean, variance: season.variance + b.weatherSd ** 2 }
  const soilNews = entries
    .filter((e) => !hasUsable(e.member) && e.member.lnG !== null && !e.excluded && !e.frozen)
    .map((e) => ({ id: e.member.electrode.electrodeId, x: e.sighting.y - season.mean - e.member.lnG! }))
  const drafts = entries.map((e) =>
    sharesSoil(e.member.key)
      ? draftOf(e, members, soilNews, prior, season.quadrature, b)
      : draftOf(e, members, [], STILL, 0, b),
  )
  const groups: GroupEstimate[] = []
  let groupPrior = prior
  const inSoil = drafts.filter((d) => sharesSoil(d.entry.member.key))
  for (const d of drafts)
    if (!inSoil.includes(d))
      placeAt(d, { options: [{ g: 0, variance: STILL.variance, share: 1 }], peers: 0 }, b)
  for (const group of byInstrument(inSoil)) {
    const told = group.filter((d) => !d.entry.excluded)
    const own = told.filter((d) => !d.entry.frozen).map((d) => d.residual)
    const sorted = sortedResiduals([...known, ...own])
    const iced = sortedResiduals(told.filter((d) => d.entry.frozen).map((d) => d.residual))
    for (const d of group) placeIn(d, d.entry.frozen ? iced : sorted, groupPrior, b)
    const day = group[0]!.entry.sighting.day
    const seen = estimateShared(sorted, null, day, groupPrior, b)
    groups.push(withoutPrior(group, day, seen, groupPrior))
    if (groups.length === 1 && seen.variance < 0.01 && own.length > 0)
      groupPrior = { mean: seen.g, variance: seen.variance + 0.02 ** 2 + 0.03 ** 2 }
  }
  for (const d of drafts) weigh(d, b)
  const mixed = mixUps(
    drafts.map((d) => candidateOf(d, b)),
    b,
  )
  drafts.forEach((d, i) => {
    d.weights[7] = mixed[i]!.weight
    d.mixedUpWith = mixed[i]!.bestId
    d.posterior = normalise(d.weights, d.entry.sighting.y - d.expected)
    const sum = d.weights.reduce((a, w) => a + w, 0)
    d.pendingStep = sum > 0 ? d.pendingStep / sum : 0
  })
  const residuals = inSoil.filter((d) => !d.entry.excluded && !d.entry.frozen).map((d) => d.residual)
  return { verdicts: drafts, groups, residuals }
}

/** `normalShape` is at hand; as another electrode's the shape is worked out only for those that the value fits. */
function candidateOf(d: Draft, b: Beliefs): MixUpCandidate {
  const { member, sighting } = d.entry
  const { currentProbeM } = sighting.test
  return {
    electrodeId: member.electrode.electrodeId,
    y: sighting.y,
    probeM: currentProbeM,
    usualProbeM: member.tests.at(-1)?.sighting.test.currentProbeM,
    outlooks: d.outlooks,
    evidence: d.weights.reduce((a, w) => a + w, 0),
    own: sighting.oneReadingOffLn !== null,
    member,
    shapeAs: (other) => shapeAs(other, sighting, b),
  }
}

/** The sheet may have kept the distance it was measured at, or been entered with that of the electrode it was taken for. */
function shapeAs({ member, probeM }: MixUpCandidate, sheet: Sighting, b: Beliefs): number {
  const at = (currentProbeM: number | undefined) =>
    shapeLikelihoods(sheet, lnKappa(member.lnG, currentProbeM, b), member.shape, b).normal
  const { currentProbeM } = sheet.test
  return currentProbeM === probeM ? at(probeM) : (at(currentProbeM) + at(probeM)) / 2
}

/** The common mode of what holds no soil. */
const STILL: SeasonPrior = { mean: 0, variance: 1e-6 }

function hasUsable(m: Member): boolean {
  return m.tests.some((r) => r.doubt > 0)
}

/** The electrode's stories, its level's prior, and how far this reading stands off its level. */
function draftOf(
  entry: Entry,
  members: readonly Member[],
  soilNews: readonly SoilNews[],
  prior: SeasonPrior,
  q: number,
  b: Beliefs,
): Draft {
  const m = entry.member
  const s = entry.sighting
  const level = levelPrior(m, members, soilNews, b)
  const stories = pastStories(m, s.t, level, b)
  let mean = 0
  let square = 0
  let loading = 0
  for (const story of stories) {
    // Doubt about the loading shows where the season stands, not at zero.
    const at = meanAt(story.fit, prior.mean, q, s.t)
    const variance = varianceAt(story.fit, prior.mean, q, s.t) + story.fit.noiseVar
    mean += story.weight * at
    square += story.weight * (at * at + variance)
    loading += story.weight * (1 + story.fit.x1)
  }
  loading = Math.max(0.3, loading)
  const variance = Math.max(1e-5, square - mean * mean + ownVar(entry))
  return {
    entry,
    stories,
    outlooks: [],
    shape: shapeLikelihoods(s, lnKappa(m.lnG, s.test.currentProbeM, b), m.shape, b),
    posterior: [],
    pendingStep: 0,
    expected: mean,
    sd: Math.sqrt(variance),
    peers: 0,
    g: prior.mean,
    gVar: prior.variance,
    q,
    hasEarlier: hasUsable(m),
    repeats: null,
    mixedUpWith: null,
    residual: {
      electrodeId: m.electrode.electrodeId,
      day: s.day,
      r: prior.mean + (s.y - mean) / loading,
      variance: variance / (loading * loading),
    },
    weights: [],
  }
}

/** Another line, distance or connection than last time: what that alone may do to a value, ln (practice, no source). */
const SET_UP_SD = 0.1

/** Variance of this one test beyond the electrode's own noise: of the display, and of a set-up that was changed. */
function ownVar({ member, sighting }: Entry): number {
  const previous = member.tests.at(-1)?.sighting
  const changed = previous !== undefined && setUpMatters(sighting, previous)
  return sighting.roundingVar + (changed ? SET_UP_SD ** 2 : 0)
}

/** Groups by instrument, the larger first; equal sizes by name. */
function byInstrument(drafts: readonly Draft[]): Draft[][] {
  const groups = new Map<string, Draft[]>()
  for (const d of drafts) {
    const key = d.entry.sighting.test.instrumentId ?? ''
    const list = groups.get(key)
    if (list) list.push(d)
    else groups.set(key, [d])
  }
  return [...groups].sort((a, b) => b[1].length - a[1].length || (a[0] < b[0] ? -1 : 1)).map((g) => g[1])
}

/** Gives the draft its common mode from the others, and with it its outlooks. */
function placeIn(d: Draft, sorted: readonly Residual[], prior: SeasonPrior, b: Beliefs): void {
  const shared = sharedFor(sorted, d.residual.electrodeId, d.entry.sighting.day, prior, b)
  placeAt(d, d.entry.frozen ? frozenOver(shared, prior) : shared, b)
}

function placeAt(d: Draft, shared: { options: Shared[]; peers: number }, b: Beliefs): void {
  const s = d.entry.sighting
  d.peers = shared.peers
  d.outlooks = outlooksOf(d.stories, shared.options, d.q, s.t, ownVar(d.entry), (g) =>
    strangeVar(d.entry.member, g, b),
  )
  const e = expectedOf(d.outlooks)
  d.expected = e.mean
  d.sd = e.sd
  let best = 0
  let bestDensity = -1
  shared.options.forEach((_, o) => {
    const density = densityAt(
      d.outlooks.filter((x) => x.option === o),
      s.y,
    )
    if (density > bestDensity) {
      best = o
      bestDensity = density
    }
  })
  const chosen = shared.options[best]!
  const own = chosen.own ?? { ln: 0, variance: 0 }
  d.g = chosen.g - own.ln
  d.gVar = (chosen.variance - own.variance) * (1 + 3 * (1 - chosen.share)) + own.variance
}

function weigh(d: Draft, b: Beliefs): void {
  const m = d.entry.member
  const s = d.entry.sighting
  const last = m.tests.at(-1)
  const dt = last ? Math.min(3, Math.max(0.02, s.t - last.sighting.t)) : 0.02
  const repeat = repetition(d, b)
  d.repeats = repeat?.ref ?? null
  const made = causeWeights(
    d.outlooks,
    {
      y: s.y,
      shape: d.shape,
      dtYears: dt,
      stepsPossible: d.hasEarlier && d.entry.work === null,
      oneReadingSlip: s.oneReadingOffLn !== null && Math.abs(Math.abs(s.oneReadingOffLn) - Math.LN10) < 0.7,
      repeatedCells: repeat?.cells ?? null,
    },
    b,
  )
  d.weights = made.weights
  d.pendingStep = made.pendingStep
}

/** Takes the prior's share off again: what this instrument saw of the site by itself. */
function withoutPrior(
  group: readonly Draft[],
  day: number,
  seen: { g: number; variance: number; peers: number },
  prior: SeasonPrior,
): GroupEstimate {
  const precision = 1 / seen.variance - 1 / prior.variance
  const own = precision > 1e-6 && seen.peers > 0
  return {
    instrumentId: group[0]!.entry.sighting.test.instrumentId ?? null,
    day,
    g: own ? (seen.g / seen.variance - prior.mean / prior.variance) / precision : prior.mean,
    variance: own ? 1 / precision : 1e3,
    tests: group.map((d) => ({
      electrodeId: d.entry.member.electrode.electrodeId,
      surveyRef: d.entry.sighting.test.surveyRef,
    })),
  }
}
