import type { FindingCode } from '../../survey/finding.ts'
import { robustSd } from '../statistics/robust-scale.ts'
import type { Beliefs } from './beliefs.ts'
import { CAUSES, type Cause } from './explanations.ts'
import { sharesSoil } from './member.ts'
import type { Verdict } from './verdict.ts'

/** A finding's cause, whether it is told, and how sure. */
export interface Naming {
  cause: Cause
  code: FindingCode
  /** Chance that something is true and was not told before. */
  news: number
  raised: boolean
  /** Less likely than that, and worth a quiet word about the earth. */
  hinted: boolean
}

const SOIL_UNKNOWN_SD = 0.5
const NEW_LEVEL_RATIO = Math.log(1.6)
const FALL_LN = Math.log(1.2)
const LOUD_RISE_LN = Math.log(1.8)
const LOUD_TESTS = 3
const LOUD_SCATTERS = 4
/** A practitioner's rule: corrosion needs three tests over eighteen months, or something seen. */
const CORROSION_TESTS = 3
const CORROSION_YEARS = 1.5

/** Names the best explanation of a verdict; what was told before and still stands is no news. */
export function nameOf(v: Verdict, b: Beliefs): Naming {
  const m = v.entry.member
  const p = [...v.posterior]
  let known = 0
  const toldStep = m.pending?.told?.code
  if (m.pending && (toldStep === 'step-rise' || isFall(toldStep))) {
    const i = m.pending.up ? 1 : 2
    // Another step on top of the one that was told is news.
    known += v.pendingStep
    p[i] = Math.max(0, p[i]! - v.pendingStep)
  }
  if (m.corrosionTold) {
    known += p[3]!
    p[3] = 0
  }
  const news = Math.max(0, 1 - v.posterior[0]! - known)
  let best = 1
  for (let i = 2; i < p.length; i++) if (p[i]! > p[best]!) best = i
  const loud = known === 0 && isLoudRise(v)
  const usual = v.hasEarlier ? b.threshold : firstThresholdOf(v, b)
  const likely = news > (b.thresholds?.[codeOf(CAUSES[best]!, v)] ?? usual)
  let cause = loud && !(likely && best > CAUSES.indexOf('corrosion')) ? 'rise' : CAUSES[best]!
  const fallsBack = cause === 'corrosion' ? belowFlatLn(v) : 0
  // Under what it shows without any ramp: no rise, whatever the past looked like; far under, another level.
  if (fallsBack > FALL_LN) cause = 'fall'
  const raised = (likely && (fallsBack <= 0 || fallsBack > FALL_LN)) || loud
  const aboutTheEarth = cause === 'rise' || cause === 'fall' || cause === 'corrosion'
  const hinted = !raised && aboutTheEarth && news > b.hintThreshold && v.hasEarlier
  const code = codeOf(cause, v)
  // What is not likely enough to be told is no suspicion of corrosion yet.
  return {
    cause,
    code: hinted && code === 'corrosion-suspected' ? 'rising-drift' : code,
    news,
    raised,
    hinted,
  }
}

/** Where neither formula nor neighbours tell what to expect, of two odd first tests nobody knows which it is: told when likelier than not. */
const firstThresholdOf = (v: Verdict, b: Beliefs): number =>
  v.sd > SOIL_UNKNOWN_SD ? Math.max(0.5, b.threshold) : b.firstThreshold

/**
 * A rise that a person must hear of however well a drought might explain it: by 1.8 times what neighbours and season let
 * expect, and far outside what three tests or more of the electrode itself have scattered. Common practice, no source.
 */
function isLoudRise(v: Verdict): boolean {
  const { sighting, member, work, excluded, frozen } = v.entry
  if (work || excluded || frozen || sighting.test.validity === 'invalid') return false
  const earlier = member.tests.slice(member.start).filter((r) => r.doubt > 0)
  const rise = sighting.y - v.expected
  if (earlier.length < LOUD_TESTS || rise < LOUD_RISE_LN) return false
  const ownLn = earlier.map((r) => r.sighting.y)
  return sighting.y - Math.max(...ownLn) > LOUD_RISE_LN / 2 && rise > LOUD_SCATTERS * robustSd(ownLn, 0)
}

/** How far the value lies below what the electrode shows without any ramp, ln; negative above. */
function belowFlatLn(v: Verdict): number {
  const flat = v.outlooks.filter((o) => o.story.kind === 'nothing')
  const weight = flat.reduce((a, o) => a + o.weight, 0)
  if (!(weight > 0)) return 0
  return flat.reduce((a, o) => a + o.weight * o.mean, 0) / weight - v.entry.sighting.y
}

function isFall(code: string | null | undefined): boolean {
  return code === 'step-fall' || code === 'parallel-path-suspected' || code === 'improvement-unexplained'
}

function codeOf(cause: Cause, v: Verdict): FindingCode {
  switch (cause) {
    case 'rise':
      return 'step-rise'
    case 'fall':
      if (v.entry.member.pending?.up === false) return 'step-fall'
      // What lies beside a bond is no parallel earth.
      return v.expected - v.entry.sighting.y > NEW_LEVEL_RATIO && sharesSoil(v.entry.member.key)
        ? 'parallel-path-suspected'
        : 'improvement-unexplained'
    case 'corrosion':
      return corrosionIsDue(v) ? 'corrosion-suspected' : 'rising-drift'
    case 'decimal':
      return v.hasEarlier || v.entry.sighting.oneReadingOffLn !== null
        ? 'decimal-slip'
        : 'implausible-for-electrode'
    case 'unit':
      return v.hasEarlier ? 'unit-slip' : 'implausible-for-electrode'
    case 'repeated':
      return 'repeated-readings'
    case 'wrong-electrode':
      return v.hasEarlier ? 'wrong-electrode' : 'implausible-for-electrode'
    case 'too-close':
      return 'current-probe-too-close'
    default:
      return 'readings-out-of-order'
  }
}

function corrosionIsDue(v: Verdict): boolean {
  const m = v.entry.member
  if (v.entry.sighting.test.visual === 'corroded') return true
  const used = m.tests.slice(m.start).filter((r) => r.doubt > 0)
  if (used.length + 1 < CORROSION_TESTS) return false
  return v.entry.sighting.t - used[0]!.sighting.t >= CORROSION_YEARS
}
