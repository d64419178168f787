import type { Beliefs } from './beliefs.ts'
import { densityAt, type Outlook } from './explanations.ts'

/** What the search for a mixed-up electrode needs of each test of a visit. */
export interface Candidate {
  electrodeId: string
  y: number
  normalShape: number
  outlooks: readonly Outlook[]
  /** Distance of the current probe on this sheet, and on the electrode's last one. */
  probeM: number | undefined
  usualProbeM: number | undefined
  /** Evidence of this test by all explanations but a mix-up. */
  evidence: number
}

/**
 * Weight of "this sheet belongs to another electrode of the visit": either only this sheet went astray, or two were swapped.
 * A swap needs that the other's value fits here and ours fits there, against how the other explains its own value by *all*
 * its explanations: a broken neighbour is so no proof against the innocent.
 */
export function wrongElectrodeWeight(
  self: Candidate,
  visit: readonly Candidate[],
  b: Beliefs,
): { weight: number; bestId: string | null } {
  let astray = 0
  let swapped = 0
  let best = 0
  let bestId: string | null = null
  let others = 0
  for (const q of visit) {
    if (q === self || q.electrodeId === self.electrodeId) continue
    others++
    const fitsThere = densityAt(q.outlooks, self.y) * distanceSays(self, q)
    astray += fitsThere
    const own = q.evidence / Math.max(1e-30, q.normalShape)
    const pair = (fitsThere * densityAt(self.outlooks, q.y)) / Math.max(1e-12, own)
    swapped += pair
    const score = 0.3 * fitsThere + 0.7 * pair
    if (score > best) {
      best = score
      bestId = q.electrodeId
    }
  }
  if (others === 0) return { weight: 0, bestId: null }
  const mean = 0.3 * (astray / others) + 0.7 * Math.min(1e4, swapped / others)
  return { weight: self.normalShape * b.rateWrongElectrode * mean, bestId }
}

/** How much a sheet that brings the other's distance speaks for a mix-up, and one with its own distance against (beliefs). */
const OTHERS_DISTANCE = 12
const OWN_DISTANCE = 0.6
const SAME_LN = 0.03

/** A sheet brings its set-up with it: is the distance on it the other electrode's usual one, or this one's? */
function distanceSays(self: Candidate, other: Candidate): number {
  const own = isSame(self.probeM, self.usualProbeM)
  const others = isSame(self.probeM, other.usualProbeM)
  if (own === null || others === null || own === others) return 1
  return others ? OTHERS_DISTANCE : OWN_DISTANCE
}

function isSame(a: number | undefined, b: number | undefined): boolean | null {
  return a && b && a > 0 && b > 0 ? Math.abs(Math.log(a / b)) < SAME_LN : null
}
