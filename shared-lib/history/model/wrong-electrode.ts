import type { Beliefs } from './beliefs.ts'
import { densityAt, type Outlook } from './explanations.ts'

/** What the search for mixed-up sheets needs of each test of a visit. */
export interface Candidate<Other> {
  electrodeId: string
  y: number
  outlooks: readonly Outlook[]
  /** Distance of the current probe on this sheet, and on the electrode's last one. */
  probeM: number | undefined
  usualProbeM: number | undefined
  /** Evidence of this test by all explanations but a mix-up. */
  evidence: number
  /** A sheet that cannot be another's: one reading stands off the others. */
  own: boolean
  /** Likelihood of this sheet's shape if it is of that electrode. */
  shapeAs(other: Other): number
}

export interface MixUp {
  /** Weight beside `evidence` that gives the mix-up its chance. */
  weight: number
  /** The electrode whose sheet this most likely is. */
  bestId: string | null
}

/** Of mixed-up sheets so many went astray alone; the others changed places. */
const ASTRAY = 0.3
/** Nothing is surer of a mix-up than this many times its evidence. */
const SUREST = 1e6

/**
 * Joint chance of all ways in which sheets of one visit may have been mixed up: two changed places, or one went astray. Each pair is
 * held against how both electrodes explain their own values by *all* other reasons, and the pairs against each other: who fits a
 * swap in which somebody else fits better is not blamed, and a broken neighbour is no proof against the innocent.
 */
export function mixUps<C extends Candidate<C>>(visit: readonly C[], b: Beliefs): MixUp[] {
  const n = visit.length
  const odds = visit.map(() => 0)
  const best = visit.map(() => 0)
  const bestId: (string | null)[] = visit.map(() => null)
  let all = 0
  const add = (i: number, j: number, odd: number) => {
    odds[i] = odds[i]! + odd
    if (odd <= best[i]!) return
    best[i] = odd
    bestId[i] = visit[j]!.electrodeId
  }
  const others = n - 1
  const rate = b.rateWrongElectrode / Math.max(1, others)
  for (let i = 0; i < n; i++)
    for (let j = i + 1; j < n; j++) {
      const [p, q] = [visit[i]!, visit[j]!]
      if (p.electrodeId === q.electrodeId) continue
      const there = p.own ? 0 : ratioAs(p, q)
      const here = q.own ? 0 : ratioAs(q, p)
      const swap = (1 - ASTRAY) * rate * there * here
      const pAstray = ASTRAY * rate * there
      const qAstray = ASTRAY * rate * here
      if (swap + pAstray + qAstray === 0) continue
      add(i, j, swap + pAstray)
      add(j, i, swap + qAstray)
      all += swap + pAstray + qAstray
    }
  return visit.map((c, i) => {
    const odd = Math.min(SUREST, odds[i]!)
    // Of everything that may have happened in this visit, the part that is not about this electrode stands against it.
    const elsewhere = Math.max(0, all - odds[i]!)
    return { weight: (c.evidence * odd) / (1 + elsewhere), bestId: bestId[i]! }
  })
}

/** How many times better a sheet fits as another electrode's than as its own, whatever happened to that. */
function ratioAs<C extends Candidate<C>>(sheet: C, other: C): number {
  if (!(sheet.evidence > 0)) return 0
  const fits = densityAt(other.outlooks, sheet.y)
  if (fits < 1e-3) return 0
  return (fits * sheet.shapeAs(other) * distanceSays(sheet, other)) / sheet.evidence
}

/** How much a sheet that brings the other's distance speaks for a mix-up, and one with its own distance against (beliefs). */
const OTHERS_DISTANCE = 12
const OWN_DISTANCE = 0.6
const SAME_LN = 0.03

/** A sheet brings its set-up with it: is the distance on it the other electrode's usual one, or this one's? */
function distanceSays<C extends Candidate<C>>(self: C, other: C): number {
  const own = isSame(self.probeM, self.usualProbeM)
  const others = isSame(self.probeM, other.usualProbeM)
  if (own === null || others === null || own === others) return 1
  return others ? OTHERS_DISTANCE : OWN_DISTANCE
}

function isSame(a: number | undefined, b: number | undefined): boolean | null {
  return a && b && a > 0 && b > 0 ? Math.abs(Math.log(a / b)) < SAME_LN : null
}
