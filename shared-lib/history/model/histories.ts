import { normalCdf } from '../statistics/normal.ts'
import type { Beliefs } from './beliefs.ts'
import { type Member, pointsOf } from './member.ts'
import { type Fit, fitFlat, fitWith, flatBase, type LevelPrior } from './regression.ts'

/** What may have happened to an electrode so far, each with its weight; the test being judged is not in it. */
export interface PastStory {
  kind: 'nothing' | 'ramp' | 'small-step' | 'pending-out' | 'pending-step'
  fit: Fit
  weight: number
  /** A past step that is recent and large enough to be told. */
  recent: boolean
}

/** A step of the last two tests is told only when it is this large. */
const RECENT_STEP_LN = 0.17
const EPSILON_YEARS = 1e-6
/** How much likelier a ramp is once somebody has confirmed corrosion here. */
const CONFIRMED_TIMES = 20

/** Competing stories of a member at time `t`. `level` is the prior of its level. Weights add to one. */
export function pastStories(m: Member, t: number, level: LevelPrior, b: Beliefs): PastStory[] {
  if (m.pending) return pendingStories(m, t, level, b)
  const points = pointsOf(m, t, b)
  const base = flatBase(points, level, m.loading, b)
  const flat = fitFlat(base)
  const stories: PastStory[] = [{ kind: 'nothing', fit: flat, weight: 0, recent: false }]
  const n = points.t.length
  if (n >= 2) {
    const stride = Math.ceil(n / 9)
    for (let k = 0; k < n; k += stride) {
      const tau = points.t[k]!
      const next = k + stride < n ? points.t[k + stride]! : t
      const fit = fitWith(base, 'ramp', tau, b.rampSd)
      const rises = Math.log(Math.max(1e-12, 2 * normalCdf(fit.x3 / Math.max(1e-9, fit.x3Sd))))
      const rate = b.rateCorrosion * (m.corrosionConfirmed ? CONFIRMED_TIMES : 1)
      const prior = Math.log(rate * Math.max(0.15, next - tau))
      stories.push({
        kind: 'ramp',
        fit,
        weight: prior + rises + fit.lnEvidence - flat.lnEvidence,
        recent: false,
      })
    }
    for (let k = Math.max(1, n - 4); k < n; k++) {
      const years = Math.max(0.02, points.t[k]! - points.t[k - 1]!)
      const fit = fitWith(base, 'step', points.t[k]! - EPSILON_YEARS, b.stepSd)
      stories.push({
        kind: 'small-step',
        fit,
        weight: Math.log((b.rateRise + b.rateFall) * years) + fit.lnEvidence - flat.lnEvidence,
        recent: k >= n - 2 && Math.abs(fit.x3) > RECENT_STEP_LN,
      })
    }
  }
  return normalised(stories)
}

function pendingStories(m: Member, t: number, level: LevelPrior, b: Beliefs): PastStory[] {
  const { index, pStep } = m.pending!
  const out = fitFlat(flatBase(pointsOf(m, t, b, index), level, m.loading, b))
  const base = flatBase(pointsOf(m, t, b), level, m.loading, b)
  const step = fitWith(base, 'step', m.tests[index]!.sighting.t - EPSILON_YEARS, b.stepSd)
  return [
    { kind: 'pending-out', fit: out, weight: 1 - pStep, recent: false },
    { kind: 'pending-step', fit: step, weight: pStep, recent: true },
  ]
}

/** From log weights to weights that add to one; what hardly counts is dropped. */
function normalised(stories: PastStory[]): PastStory[] {
  const top = Math.max(...stories.map((s) => s.weight))
  let sum = 0
  for (const s of stories) {
    s.weight = Math.exp(s.weight - top)
    sum += s.weight
  }
  const kept = stories.filter((s) => s.weight / sum > 1e-5)
  const keptSum = kept.reduce((a, s) => a + s.weight, 0)
  for (const s of kept) s.weight /= keptSum
  return kept
}
