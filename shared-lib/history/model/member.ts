import type { FindingCode } from '../../survey/finding.ts'
import type { Electrode } from '../../survey/register.ts'
import type { Beliefs } from './beliefs.ts'
import type { LoadingPrior, Points } from './regression.ts'
import type { ShapeBelief } from './shape.ts'
import { lnGeometry, type Sighting } from './sighting.ts'

/** A judged test in an electrode's memory. */
interface Remembered {
  sighting: Sighting
  g: number
  q: number
  /** How many neighbours the common mode is from; 0 when only the season spoke. */
  peers: number
  /** Variance beyond the electrode's own noise: of the common mode and the display. */
  extraVar: number
  /** How many times less than usual it counts; 0 when the test was set aside. */
  doubt: number
  /** ln R expected before it was read, and its sd; null for a first test. */
  expected: { mean: number; sd: number } | null
}

/** A finding that people were told. */
export interface Told {
  code: FindingCode
  evidence: Record<string, unknown>
}

/** A test that may have been a step: the next one settles it. */
export interface Pending {
  index: number
  pStep: number
  up: boolean
  /** What people were told of it at once, if anything. */
  told: Told | null
}

/** One quantity of one electrode, as the site's replay carries it from test to test. */
export interface Member {
  electrode: Electrode
  key: string
  lnG: number | null
  tests: Remembered[]
  /** Index of the first test of the present baseline. */
  start: number
  /** Level prior of a baseline that follows another; null before the first test (then geometry and soil speak). */
  priorMean: number | null
  priorVar: number
  loading: LoadingPrior
  shape: ShapeBelief
  pending: Pending | null
  corrosionTold: boolean
  /** Somebody has confirmed it: believed until work or a new baseline. */
  corrosionConfirmed: boolean
  /** Last posterior level, for the soil of the site. */
  level: number | null
}

/** The electrode's formula is about the electrode alone, measured against distant earth: no bond, loop or connected system. */
export const formulaSpeaks = (key: string): boolean =>
  /^(electrode-alone|not-known)\/fall-of-potential$/.test(key)

/** A bond between two points holds no soil: season, weather and the site's other electrodes say nothing about it. */
export const sharesSoil = (key: string): boolean => !key.endsWith('/two-point')

/** How many tests of a baseline are looked at. */
const NEWEST = 24

export function newMember(electrode: Electrode, key: string, b: Beliefs): Member {
  return {
    electrode,
    key,
    lnG: formulaSpeaks(key) ? lnGeometry(electrode) : null,
    tests: [],
    start: 0,
    priorMean: null,
    priorVar: 0,
    loading: {
      x1: 0,
      x2: 0,
      v11: b.loadingVar,
      v12: b.loadingLagCorrelation * Math.sqrt(b.loadingVar * b.lagVar),
      v22: b.lagVar,
    },
    shape: { mean: 0, variance: b.shapeVar },
    pending: null,
    corrosionTold: false,
    corrosionConfirmed: false,
    level: null,
  }
}

/** Usable tests of the present baseline as regression points at time `tNow`; `without` leaves one out by index. */
export function pointsOf(m: Member, tNow: number, b: Beliefs, without = -1): Points {
  const points: Points = { t: [], y: [], g: [], q: [], v: [] }
  const s0 = b.noiseSd * b.noiseSd
  let first = m.start
  if (m.tests.length - first > NEWEST) first = m.tests.length - NEWEST
  for (let k = first; k < m.tests.length; k++) {
    const r = m.tests[k]!
    if (r.doubt === 0 || k === without) continue
    points.t.push(r.sighting.t)
    points.y.push(r.sighting.y)
    points.g.push(r.g)
    points.q.push(r.q)
    points.v.push(r.doubt * (1 + r.extraVar / s0) + (b.wanderVar / s0) * Math.max(0, tNow - r.sighting.t))
  }
  return points
}

/**
 * Variance for a common mode that this electrode has not met before: how it follows its site was learnt between the lowest and the
 * highest so far, and soil that dries or freezes further need not go on in a straight line.
 */
export function strangeVar(m: Member, g: number, b: Beliefs): number {
  let low = 0
  let high = 0
  for (let k = m.start; k < m.tests.length; k++) {
    const r = m.tests[k]!
    if (r.doubt === 0) continue
    if (r.g < low) low = r.g
    if (r.g > high) high = r.g
  }
  const outside = Math.max(0, low - g, g - high)
  return (b.strangeSd * outside) ** 2
}
