import { FIXED, type Learnt, t8 } from './beliefs.ts'
import { type State, usable } from './electrode.ts'
import type { View, Weights } from './explanations.ts'
import type { Observation } from './observation.ts'
import { fitted, loadingOf, predict } from './regression.ts'

/** A judged test on its way into memory. */
export interface Judged {
  o: Observation
  views: readonly View[]
  posterior: Weights
  expected: number
  sd: number
  g: number
  gVar: number
  q: number
  hasPast: boolean
  afterWork: boolean
  told: boolean
  /** Chance that something is there and new. */
  p: number
}

/** The two-state memory: settles a pending test, keeps or sets aside the new one, opens a pending one. */
export function remember(s: State, j: Judged, learnt: Learnt): void {
  const p = j.posterior
  const slips = p.decimal + p.unit + p['wrong-electrode']
  const wrong = j.hasPast && !j.o.oneSlip && slips > 0.5
  const bad = p.repeated + p['too-close'] + (wrong ? 0 : slips)
  const upDown = p.up + p.down
  if (j.told && p.corrosion > j.p / 2) s.corrosionTold = true
  if (p.corrosion < 0.15 || j.afterWork) s.corrosionTold = false
  let moved = j.afterWork
  if (s.pending && bad < 0.5) moved = settle(s, j) || moved
  else if (!s.pending) moved = adoptSmallStep(s, j) || moved
  const z = (j.o.y - j.expected) / j.sd
  let c = 1 + (j.gVar + j.o.rounding[1]) / learnt.noiseSd ** 2
  if (bad > 0.5) c = -1
  else if (j.hasPast && !moved && Math.abs(z) > FIXED.softCut && upDown < 0.3 && p.corrosion < 0.3)
    c *= (z / FIXED.softCut) ** 2
  s.tests.push({ o: j.o, t: j.o.t, y: j.o.y, g: j.g, q: j.q, c })
  if (!s.pending && (upDown > 0.15 || wrong) && bad < 0.5 && j.hasPast && !moved)
    s.pending = {
      index: s.tests.length - 1,
      pStep: Math.min(0.97, Math.max(wrong ? 0.05 : 0.2, upDown)),
      told: j.told,
    }
}

/** True when the step has stayed and the baseline moves. */
function settle(s: State, j: Judged): boolean {
  const pending = s.pending!
  const of = (kind: string) =>
    j.views.reduce((sum, v) => sum + (v.history.kind === kind ? v.weight * t8(j.o.y, v.mean, v.sd) : 0), 0)
  const out = of('without-pending')
  const step = of('pending')
  const tail = 0.0076
  s.pending = null
  if ((step + pending.pStep * tail) / (out + step + tail) <= 0.5) {
    s.tests[pending.index]!.c = -1
    return false
  }
  startAt(s, pending.index, j.views.find((v) => v.history.kind === 'without-pending') ?? null)
  return true
}

function adoptSmallStep(s: State, j: Judged): boolean {
  let all = 0
  const by = new Map<View['history'], number>()
  for (const v of j.views) {
    const d = v.weight * t8(j.o.y, v.mean, v.sd)
    all += d
    if (v.history.kind === 'small') by.set(v.history, (by.get(v.history) ?? 0) + d)
  }
  for (const [history, d] of by) {
    if (d <= 0.8 * all) continue
    const index = s.tests.findIndex((x, k) => k >= s.start && x.c >= 0 && x.t >= history.fit.past.tau)
    if (index < 0 || index >= s.tests.length - 1) continue
    startAt(s, index, j.views.find((v) => v.history === history) ?? null)
    return true
  }
  return false
}

function startAt(s: State, index: number, before: View | null): void {
  if (before) s.loading = loadingOf(before.history.fit)
  const x = s.tests[index]!
  s.start = index
  const [loading, lag] = s.loading.mean
  s.prior = { mean: x.y - (1 + loading) * x.g - lag * x.q, variance: 0.36 }
  s.corrosionTold = false
}

/** Recorded work before a test: the history starts anew below the old level. */
export function startAfterWork(s: State, t: number, learnt: Learnt): void {
  if (!s.prior) return
  const f = fitted(usable(s).slice(-24), { kind: 'none', tau: 0 }, t, s.prior, s.loading, learnt)
  s.loading = loadingOf(f)
  s.prior = { mean: predict(f, 0, 0, t).mean - 0.45, variance: 0.35 ** 2 }
  s.start = s.tests.length
  s.pending = null
  s.corrosionTold = false
}
