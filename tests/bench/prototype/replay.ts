import { FIXED, type Learnt } from './beliefs.ts'
import { groupMode, type Mode, modesFor, type Residual } from './common-mode.ts'
import { type History, historiesOf, newState, type State, soilOf, usable } from './electrode.ts'
import {
  CLASSES,
  type Class,
  densityOf,
  type View,
  viewsOf,
  type Weights,
  weigh,
  wrongElectrodeWeight,
} from './explanations.ts'
import { type Bias, biasOf, type InstrumentResidual } from './instrument.ts'
import { remember, startAfterWork } from './memory.ts'
import type { Observation } from './observation.ts'
import { fitted, predict } from './regression.ts'
import { learnSeason, newSeason, type Season, type SeasonAt, seasonAt } from './season.ts'
import { learnSteepness, shapesOf } from './shape.ts'

/** What the prototype says of one test. */
export interface Said {
  o: Observation
  /** Chance that something is there and new, and its class. */
  p: number
  best: Class
  hasPast: boolean
  nPast: number
  peers: number
  z: number
  posterior: Weights
  expected: number
  sd: number
  instrumentOff: number
}

export interface Fleet {
  /** By campaign, in order of date. */
  campaigns: Observation[][]
  lnG: Map<string, number>
  siteOf: Map<string, string>
  /** Days of calibration by instrument, ascending. */
  calibrations: Map<string, number[]>
}

interface Draft {
  o: Observation
  s: State
  histories: History[]
  residual: Residual
  afterWork: boolean
  hasPast: boolean
  modes: Mode[]
  views: View[]
  peers: number
}

/** Judges a whole fleet in order of date. */
export function replay(fleet: Fleet, learnt: Learnt): Said[] {
  const states = new Map<string, State>()
  const bySite = new Map<string, State[]>()
  for (const [id, siteId] of fleet.siteOf) {
    const s = newState(id, siteId, fleet.lnG.get(id)!)
    states.set(id, s)
    bySite.set(siteId, [...(bySite.get(siteId) ?? []), s])
  }
  const seasons = new Map<string, Season>()
  const instruments = new Map<string, InstrumentResidual[]>()
  const biasAt = (id: string, day: number) =>
    biasOf(
      instruments.get(id) ?? [],
      (fleet.calibrations.get(id) ?? []).filter((d) => d <= day).at(-1) ?? -1e9,
    )
  const said: Said[] = []
  for (const campaign of fleet.campaigns) {
    const siteId = campaign[0]!.siteId
    const day = campaign[0]!.day
    const season = seasons.get(siteId) ?? newSeason(learnt)
    const at = seasonAt(season, day)
    const drafts = draftsOf(campaign, states, bySite.get(siteId)!, at, learnt)
    const groups = groupsOf(drafts)
    let first: { mode: Residual; bias: Bias } | null = null
    const estimates: { instrument: string; mode: Residual; size: number }[] = []
    for (const group of groups) {
      const instrument = group[0]!.o.instrument
      const bias = biasAt(instrument, day)
      const prior: Residual =
        first && first.mode.variance < 0.01
          ? {
              r: first.mode.r - first.bias.mean + bias.mean,
              variance: first.mode.variance + 0.02 ** 2 + bias.variance,
            }
          : { r: at.mean + bias.mean, variance: at.variance + learnt.weatherSd ** 2 + bias.variance }
      for (const d of group) {
        const others = group.filter((x) => x !== d)
        d.peers = others.length
        d.modes = modesFor(
          others.map((x) => x.residual),
          prior,
        )
        d.views = viewsOf(d.histories, d.modes, at.quadrature, d.o.t, d.o.rounding[1])
      }
      const mode = groupMode(
        group.map((d) => d.residual),
        prior,
      )
      first ??= { mode, bias }
      estimates.push({ instrument, mode, size: group.length })
    }
    const now = drafts.map((d) => judge(d, drafts, learnt))
    for (const [i, j] of now.entries()) commit(j, drafts[i]!, at, learnt)
    let next = season
    for (const e of estimates) {
      if (e.mode.variance < 0.02) {
        const residual = instrumentResidual(e, estimates, at, learnt, (id) => biasAt(id, day))
        instruments.set(e.instrument, [...(instruments.get(e.instrument) ?? []), { day, ...residual }])
      }
      const bias = biasAt(e.instrument, day)
      for (const j of now) if (j.said.o.instrument === e.instrument) j.said.instrumentOff = bias.chance
      if (e.mode.variance >= 0.05) continue
      const d = e.mode.r - bias.mean - at.mean
      const wv = learnt.weatherSd ** 2
      const z2 = d ** 2 / (e.mode.variance + wv + at.variance)
      next = learnSeason(next, day, d, (e.mode.variance + wv) * Math.max(1, z2 / 4))
    }
    seasons.set(siteId, next)
    said.push(...now.map((j) => j.said))
  }
  return said
}

function draftsOf(
  campaign: readonly Observation[],
  states: ReadonlyMap<string, State>,
  site: readonly State[],
  at: SeasonAt,
  learnt: Learnt,
): Draft[] {
  const known = site.filter((s) => s.level !== null)
  const fresh = campaign.filter((o) => states.get(o.electrodeId)!.level === null)
  const drafts: Draft[] = []
  for (const o of campaign) {
    const s = states.get(o.electrodeId)!
    const afterWork = o.worked && s.tests.length > 0
    if (afterWork) startAfterWork(s, o.t, learnt)
    if (!s.prior) {
      const others = [
        ...known.filter((x) => x !== s).map((x) => x.level! - x.lnG),
        ...fresh.filter((x) => x !== o).map((x) => x.y - at.mean - states.get(x.electrodeId)!.lnG),
      ]
      const soil = soilOf(others)
      s.prior = { mean: s.lnG + soil.mean, variance: 0.33 ** 2 + soil.variance }
    }
    const histories = historiesOf(s, s.prior, o.t, learnt)
    let mean = 0
    let square = 0
    let loading = 0
    for (const h of histories) {
      const p = predict(h.fit, 0, at.quadrature, o.t)
      mean += h.weight * p.mean
      square += h.weight * (p.mean ** 2 + p.variance + h.fit.noiseVar)
      loading += h.weight * (1 + h.fit.x[1]!)
    }
    loading = Math.max(0.3, loading)
    const variance = Math.max(1e-5, square - mean ** 2 + o.rounding[1])
    const residual = { r: (o.y - mean) / loading, variance: variance / loading ** 2 }
    const hasPast = s.tests.some((x) => x.c >= 0)
    drafts.push({ o, s, histories, residual, afterWork, hasPast, modes: [], views: [], peers: 0 })
  }
  return drafts
}

function groupsOf(drafts: readonly Draft[]): Draft[][] {
  return [...Map.groupBy(drafts, (d) => d.o.instrument).values()].sort((a, b) => b.length - a.length)
}

interface Outcome {
  said: Said
  told: boolean
}

function judge(d: Draft, all: readonly Draft[], learnt: Learnt): Outcome {
  const { o, s, views } = d
  const shapes = shapesOf(o, s.lnG, s.steepness, learnt)
  const last = s.tests.at(-1)?.o
  const same =
    last &&
    !d.afterWork &&
    last.readings.length === o.readings.length &&
    o.readings.every((r, i) => r === last.readings[i])
  const cells = same
    ? o.readings.reduce(
        (p, r, i) => p * (i < 3 ? o.steps[i]! / r : Math.min(1, o.steps[i]! / (2.5 * r * learnt.readingSd))),
        1,
      )
    : null
  const dtYears = last ? o.t - last.t : 0.02
  const stepsPossible = d.hasPast && !d.afterWork
  const { weights, pendingStep } = weigh(views, {
    y: o.y,
    shapes,
    dtYears,
    stepsPossible,
    oneSlip: o.oneSlip,
    cells,
  })
  weights['wrong-electrode'] = wrongElectrodeWeight(
    { y: o.y, views, normalShape: shapes.normal },
    all.filter((x) => x !== d).map((x) => ({ y: x.o.y, views: x.views })),
  )
  const sum = CLASSES.reduce((a, c) => a + weights[c], 0)
  const expected = views.reduce((a, v) => a + v.weight * v.mean, 0)
  const sd = Math.sqrt(views.reduce((a, v) => a + v.weight * v.sd ** 2, 0))
  const posterior = { ...weights }
  for (const c of CLASSES) posterior[c] = sum > 0 ? weights[c] / sum : 0
  if (!(sum > 0)) posterior[o.y > expected ? 'up' : 'down'] = 1
  const news = { ...posterior }
  let known = 0
  if (s.pending?.told && sum > 0) {
    known += pendingStep / sum
    const way = (views.find((v) => v.history.kind === 'pending')?.history.fit.x[3] ?? 0) > 0 ? 'up' : 'down'
    news[way] -= pendingStep / sum
  }
  if (s.corrosionTold) {
    known += posterior.corrosion
    news.corrosion = 0
  }
  const p = 1 - posterior.nothing - known
  const best = CLASSES.filter((c) => c !== 'nothing').reduce((a, c) => (news[c] > news[a] ? c : a))
  const said: Said = {
    o,
    p,
    best,
    hasPast: d.hasPast,
    nPast: usable(s).length,
    peers: d.peers,
    z: (FIXED.scale * (o.y - expected)) / sd,
    posterior,
    expected,
    sd,
    instrumentOff: 0,
  }
  return { said, told: p > FIXED.threshold }
}

function commit(j: Outcome, d: Draft, at: SeasonAt, learnt: Learnt): void {
  const { s, o } = d
  const { posterior, p, expected, sd } = j.said
  const fits = d.modes.map((m) =>
    densityOf(
      d.views.filter((v) => v.mode === m),
      o.y,
    ),
  )
  const chosen = d.modes[fits.indexOf(Math.max(...fits))]!
  const share = d.modes.reduce((a, m) => a + (m === chosen ? m.weight : 0), 0)
  const hasPast = d.hasPast
  remember(
    s,
    {
      o,
      views: d.views,
      posterior,
      expected,
      sd,
      g: chosen.g,
      gVar: chosen.variance * (1 + 3 * (1 - share)),
      q: at.quadrature,
      hasPast,
      afterWork: d.afterWork,
      told: j.told,
      p,
    },
    learnt,
  )
  if (posterior['too-close'] + posterior['out-of-order'] < 0.3)
    s.steepness = learnSteepness(o, s.lnG, s.steepness, learnt)
  const points = usable(s).slice(-24)
  if (points.length > 0)
    s.level = fitted(points, { kind: 'none', tau: 0 }, o.t, s.prior!, s.loading, learnt).x[0]!
}

function instrumentResidual(
  e: { instrument: string; mode: Residual },
  all: readonly { instrument: string; mode: Residual }[],
  at: SeasonAt,
  learnt: Learnt,
  biasNow: (id: string) => Bias,
): { d: number; variance: number } {
  let mean = at.mean
  let variance = at.variance + learnt.weatherSd ** 2
  for (const x of all) {
    if (x === e) continue
    const bias = biasNow(x.instrument)
    const v = x.mode.variance + bias.variance + 0.015 ** 2
    mean = (mean / variance + (x.mode.r - bias.mean) / v) / (1 / variance + 1 / v)
    variance = 1 / (1 / variance + 1 / v)
  }
  return { d: e.mode.r - mean, variance: e.mode.variance + variance }
}
