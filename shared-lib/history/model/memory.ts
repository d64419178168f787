import type { Beliefs } from './beliefs.ts'
import { CAUSES, type Cause, type Outlook } from './explanations.ts'
import type { Member, Told } from './member.ts'
import { pointsOf } from './member.ts'
import { loadingOf, meanAt } from './prediction.ts'
import { fitFlat, flatBase } from './regression.ts'
import type { Sighting } from './sighting.ts'
import { t8Density } from './student.ts'
import type { Entry } from './visits.ts'

/** A judged test on its way into its electrode's memory. */
export interface Judged {
  sighting: Sighting
  /** Chance of each cause, in the order of CAUSES. */
  posterior: readonly number[]
  outlooks: readonly Outlook[]
  g: number
  gVar: number
  q: number
  peers: number
  expected: number
  sd: number
  hasEarlier: boolean
  newBaseline: boolean
  ruling: Entry['ruling']
  /** Kept out whatever the model thinks: invalid, corrected, set aside. */
  excluded: boolean
  /** What was raised of it, when something true and new was more likely than the threshold. */
  told: Told | null
}

export function chanceOf(posterior: readonly number[], cause: Cause): number {
  return posterior[CAUSES.indexOf(cause)]!
}

/** How many times less a doubtful survey counts that its evaluation keeps out of trends. */
const UNFIT_FOR_TREND = 1.5

/** What became of a pending step when the next test came; `followed`: the baseline moves, though this value alone shows little. */
export type Settled = 'confirmed' | 'followed' | 'returned' | null

/** Updates the member by one judged test: settles a pending step, keeps or sets the test aside, opens a new pending one. */
export function remember(m: Member, j: Judged): Settled {
  const p = j.posterior
  const slipOrMixUp = chanceOf(p, 'decimal') + chanceOf(p, 'unit') + chanceOf(p, 'wrong-electrode')
  const oneReading = j.sighting.oneReadingOffLn !== null
  const wrong = j.hasEarlier && !oneReading && slipOrMixUp > 0.5
  const bad = chanceOf(p, 'repeated') + chanceOf(p, 'too-close') + (wrong ? 0 : oneReading ? 0 : slipOrMixUp)
  const upDown = chanceOf(p, 'rise') + chanceOf(p, 'fall')
  noteCorrosion(m, j)
  const settled = m.pending && bad < 0.5 && !j.excluded ? settle(m, j) : null
  if (settled === null && !m.pending) adoptOldStep(m, j)
  let doubt =
    j.sighting.test.usableForTrend || j.sighting.test.measuredAs === 'not-known' ? 1 : UNFIT_FOR_TREND
  const z = (j.sighting.y - j.expected) / Math.max(1e-3, j.sd)
  const still = upDown < 0.3 && chanceOf(p, 'corrosion') < 0.3
  if (bad > 0.5 || j.excluded) doubt = 0
  else if (j.hasEarlier && !j.newBaseline && Math.abs(z) > 2.8 && still) doubt *= (z / 2.8) ** 2
  const extraVar = j.gVar + j.sighting.roundingVar
  m.tests.push({
    sighting: j.sighting,
    g: j.g,
    q: j.q,
    peers: j.peers,
    extraVar,
    doubt,
    expected: j.hasEarlier ? { mean: j.expected, sd: j.sd } : null,
  })
  if (j.ruling === 'corrosion') {
    m.corrosionConfirmed = true
    m.corrosionTold = true
  }
  if (j.ruling === 'stands' && !j.excluded) {
    standHere(m, j)
    return settled
  }
  const opens = !m.pending && settled !== 'confirmed' && settled !== 'followed' && (upDown > 0.15 || wrong)
  if (opens && doubt > 0 && bad < 0.5 && j.hasEarlier && !j.newBaseline)
    m.pending = {
      index: m.tests.length - 1,
      pStep: wrong && upDown < 0.2 ? Math.max(0.05, upDown) : Math.min(0.97, Math.max(0.2, upDown)),
      up: j.sighting.y > j.expected,
      told: j.told,
    }
  return settled
}

/** Somebody has said that the value stands: whatever it looked like, the level goes on from it. */
function standHere(m: Member, j: Judged): void {
  const index = m.tests.length - 1
  m.tests[index]!.doubt = 1
  m.pending = null
  if (!j.hasEarlier) return
  const nothing = j.outlooks.find((o) => o.story.kind === 'nothing' || o.story.kind === 'pending-out')
  startBaseline(m, index, nothing ? nothing.story.fit : null)
}

function noteCorrosion(m: Member, j: Judged): void {
  const p = chanceOf(j.posterior, 'corrosion')
  if (m.corrosionConfirmed && !j.newBaseline) m.corrosionTold = true
  else if (j.newBaseline || p < 0.15) m.corrosionTold = false
  else if (j.told && p > (1 - chanceOf(j.posterior, 'nothing')) / 2) m.corrosionTold = true
}

/** The test after a step: it stays and the baseline follows, or it returned and was an error. */
function settle(m: Member, j: Judged): Settled {
  const pending = m.pending!
  let wOut = 0
  let wStep = 0
  for (const o of j.outlooks) {
    const d = o.weight * t8Density(j.sighting.y, o.mean, o.scale)
    if (o.story.kind === 'pending-out') wOut += d
    else if (o.story.kind === 'pending-step') wStep += d
  }
  const tail = 0.0076
  const pStep = (wStep + pending.pStep * tail) / (wOut + wStep + tail)
  m.pending = null
  if (pStep <= 0.5) {
    m.tests[pending.index]!.doubt = 0
    return 'returned'
  }
  const out = j.outlooks.find((o) => o.story.kind === 'pending-out')
  startBaseline(m, pending.index, out ? out.story.fit : null)
  return wStep > wOut + tail ? 'confirmed' : 'followed'
}

/** A small step long past that now explains more than four fifths becomes the new baseline, quietly. */
function adoptOldStep(m: Member, j: Judged): void {
  let total = 0
  let best: Outlook | null = null
  let bestWeight = 0
  for (const o of j.outlooks) {
    const d = o.weight * t8Density(j.sighting.y, o.mean, o.scale)
    total += d
    if (o.story.kind === 'small-step' && d > bestWeight) {
      best = o
      bestWeight = d
    }
  }
  if (!best || !(bestWeight > 0.8 * total)) return
  const tau = best.story.fit.tau
  const index = m.tests.findIndex((r, k) => k >= m.start && r.doubt > 0 && r.sighting.t >= tau)
  if (index < 0 || index >= m.tests.length - 1) return
  startBaseline(m, index, best.story.fit)
}

/** New baseline from the test at `index`; loading is kept, the level is free around that test. */
function startBaseline(m: Member, index: number, before: Outlook['story']['fit'] | null): void {
  if (before) m.loading = loadingOf(before)
  m.start = index
  const r = m.tests[index]
  if (r) {
    m.priorMean = r.sighting.y - (1 + m.loading.x1) * r.g - m.loading.x2 * r.q
    m.priorVar = 0.36
  }
  m.corrosionTold = false
  m.corrosionConfirmed = false
}

/** After recorded work: everything starts anew around a level shifted by what such work usually does. */
export function startAfterWork(m: Member, t: number, what: string, level: number, b: Beliefs): void {
  const [shift, sd] = WORK_SHIFT[what] ?? [-0.35, 0.5]
  const flat = fitFlat(
    flatBase(pointsOf(m, t, b), { mean: level, variance: m.priorVar || 0.1 }, m.loading, b),
  )
  m.loading = loadingOf(flat)
  m.start = m.tests.length
  m.priorMean = meanAt(flat, 0, 0, t) + shift
  m.priorVar = sd * sd
  m.pending = null
  m.corrosionTold = false
  m.corrosionConfirmed = false
}

/** Mean and spread of the change of ln R by kind of work; beliefs, no source. */
const WORK_SHIFT: Record<string, [number, number]> = {
  repaired: [-0.45, 0.4],
  extended: [-0.45, 0.4],
  replaced: [-0.3, 0.6],
  disturbed: [0.05, 0.35],
  stolen: [0.4, 0.8],
}
