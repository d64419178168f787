import { FIXED, type Learnt } from './beliefs.ts'
import type { Observation } from './observation.ts'
import { type Fit, fitted, LOADING, type Loading, type Past, type Point } from './regression.ts'
import { STEEPNESS, type Steepness } from './shape.ts'

/** A judged test as the electrode remembers it; `c` below 0 is set aside. */
export interface Test extends Point {
  o: Observation
}

export interface State {
  id: string
  siteId: string
  lnG: number
  tests: Test[]
  start: number
  prior: { mean: number; variance: number } | null
  loading: Loading
  steepness: Steepness
  pending: { index: number; pStep: number; told: boolean } | null
  corrosionTold: boolean
  level: number | null
}

export function newState(id: string, siteId: string, lnG: number): State {
  return {
    id,
    siteId,
    lnG,
    tests: [],
    start: 0,
    prior: null,
    loading: LOADING,
    steepness: STEEPNESS,
    pending: null,
    corrosionTold: false,
    level: null,
  }
}

type HistoryKind = 'nothing' | 'ramp' | 'small' | 'without-pending' | 'pending'

/** One story of the past with its weight. `recent`: a small step that began at one of the last two tests. */
export interface History {
  kind: HistoryKind
  fit: Fit
  weight: number
  recent: boolean
}

export function usable(s: State): Test[] {
  return s.tests.slice(s.start).filter((x) => x.c >= 0)
}

/** The competing histories of an electrode, before a test at `tNow`. */
export function historiesOf(
  s: State,
  prior: { mean: number; variance: number },
  tNow: number,
  learnt: Learnt,
): History[] {
  const points = usable(s).slice(-24)
  const made = (kind: HistoryKind, past: Past, some: readonly Test[]) => ({
    kind,
    fit: fitted(some, past, tNow, prior, s.loading, learnt),
    weight: 0,
    recent: false,
  })
  const pending = s.pending ? s.tests[s.pending.index]! : null
  if (s.pending && pending)
    return [
      {
        ...made(
          'without-pending',
          { kind: 'none', tau: 0 },
          points.filter((x) => x !== pending),
        ),
        weight: 1 - s.pending.pStep,
      },
      {
        ...made('pending', { kind: 'step', tau: pending.t - 1e-6 }, points),
        weight: s.pending.pStep,
      },
    ]
  const nothing = made('nothing', { kind: 'none', tau: 0 }, points)
  const all: History[] = [nothing]
  const n = points.length
  const lnOdds = new Map<History, number>([[nothing, 0]])
  if (n >= 2) {
    const every = Math.ceil(n / 9)
    const starts: number[] = []
    for (let k = n - 1; k >= 0; k -= every) starts.unshift(k)
    starts.forEach((k, i) => {
      const h = made('ramp', { kind: 'ramp', tau: points[k]!.t }, points)
      const until = i + 1 < starts.length ? points[starts[i + 1]!]!.t : tNow
      const years = Math.max(0.15, until - points[k]!.t)
      all.push(h)
      lnOdds.set(h, Math.log(FIXED.corrosion * years) + h.fit.lnEvidence - nothing.fit.lnEvidence)
    })
  }
  for (let k = Math.max(1, n - 4); k < n; k++) {
    const h = made('small', { kind: 'step', tau: points[k]!.t - 1e-6 }, points)
    h.recent = k >= n - 2
    const years = Math.max(1e-3, points[k]!.t - points[k - 1]!.t)
    all.push(h)
    lnOdds.set(h, Math.log((FIXED.rise + FIXED.fall) * years) + h.fit.lnEvidence - nothing.fit.lnEvidence)
  }
  const top = Math.max(...lnOdds.values())
  let sum = 0
  for (const h of all) {
    h.weight = Math.exp(lnOdds.get(h)! - top)
    sum += h.weight
  }
  for (const h of all) h.weight /= sum
  return all.filter((h) => h.weight >= 1e-5)
}

/** Soil of a site before or while its electrodes are first tested: level over formula, ln. */
export function soilOf(others: readonly number[]): { mean: number; variance: number } {
  const first = Math.log(100)
  const sorted = [...others].sort((a, b) => a - b)
  let m = others.length >= 3 ? sorted[Math.floor(others.length / 2)]! : first
  let sumW = 1 / 0.64
  for (let round = 0; round < 6; round++) {
    let sum = first / 0.64
    sumW = 1 / 0.64
    for (const x of others) {
      const w = 5 / (4 + (x - m) ** 2 / 0.12) / 0.12
      sum += w * x
      sumW += w
    }
    m = sum / sumW
  }
  return { mean: m, variance: 1.3 / sumW }
}
