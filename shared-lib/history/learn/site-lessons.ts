import { replaySite } from '../assess-site.ts'
import type { Parameters, SiteAssessmentInput } from '../assessment.ts'
import type { Member } from '../model/member.ts'
import type { SiteVisit } from '../model/site-visit.ts'
import { medianOr } from '../statistics/robust-scale.ts'
import { type DecidedFinding, decidedFindings } from './decided-findings.ts'

/** What one site teaches about its operator's fleet: plain numbers, no names. */
export interface SiteLessons {
  surveys: number
  electrodes: number
  loud: number
  /** Differences between two tests of an electrode beyond what its neighbours did, each √2 times the noise, with the years between. */
  differences: { ln: number; years: number }[]
  /** How the site stood at each visit against its own middle, ln. */
  effects: { day: number; ln: number; variance: number }[]
  /** Slope of an electrode's values on its site's, less one, with its standard error. */
  follows: { slope: number; se: number }[]
  /** ln of a curve's steepness over the formula's, and the survey-to-survey change of ln r52/r62. */
  steepness: number[]
  bends: number[]
  decided: DecidedFinding[]
}

const FEWEST_SHARING = 2
/** Where the whole site moved further than this, loadings would pass for noise. */
const STILL_LN = 0.12
const FEWEST_FOLLOWING = 8

/** Replays one site with `parameters` and takes down what it teaches. */
export function lessonsOf(
  site: Omit<SiteAssessmentInput, 'parameters'>,
  parameters: Parameters,
): SiteLessons {
  const { state, assessments } = replaySite({ ...site, parameters })
  const findings = Object.values(assessments).flatMap((a) => Object.values(a.findings))
  const lessons: SiteLessons = {
    surveys: state.members.reduce((n, m) => n + m.tests.length, 0),
    electrodes: new Set(state.members.map((m) => m.electrode.electrodeId)).size,
    loud: findings.filter((list) => list.some((f) => f.severity !== 'notice')).length,
    differences: [],
    effects: effectsOf(state.visits),
    follows: [],
    steepness: [],
    bends: [],
    decided: decidedFindings(site.electrodes, assessments),
  }
  for (const group of Map.groupBy(state.members, (m) => m.key).values()) differencesInto(lessons, group)
  for (const m of state.members) {
    followInto(lessons, m)
    shapeInto(lessons, m)
  }
  return lessons
}

function effectsOf(visits: readonly SiteVisit[]): SiteLessons['effects'] {
  const known = visits.filter((v) => v.words.length >= 2 && v.variance < 0.02)
  const middle = medianOr(
    known.map((v) => v.g),
    0,
  )
  return known.map((v) => ({ day: v.day, ln: v.g - middle, variance: v.variance }))
}

/** Electrodes that were tested together twice: what each moved beyond the middle of all. */
function differencesInto(lessons: SiteLessons, members: readonly Member[]): void {
  const byVisit = new Map<number, { m: Member; index: number }[]>()
  for (const m of members)
    m.tests.forEach((r, index) => {
      // Visits of a site are more than a week apart.
      const day = Math.floor(r.sighting.day)
      const visit = [day, day - 1, day - 2, day - 3].find((d) => byVisit.has(d)) ?? day
      const list = byVisit.get(visit)
      if (list) list.push({ m, index })
      else byVisit.set(visit, [{ m, index }])
    })
  for (const tests of byVisit.values()) {
    const moved: { ln: number; years: number; before: number }[] = []
    for (const { m, index } of tests) {
      const now = m.tests[index]!
      const before = m.tests[index - 1]
      if (!before || index - 1 < m.start || before.doubt === 0 || now.doubt === 0) continue
      moved.push({
        ln: now.sighting.y - before.sighting.y,
        years: now.sighting.t - before.sighting.t,
        before: Math.round(before.sighting.day / 4),
      })
    }
    for (const same of Map.groupBy(moved, (x) => x.before).values()) {
      if (same.length < FEWEST_SHARING) continue
      const middle =
        same.length === 2
          ? (same[0]!.ln + same[1]!.ln) / 2
          : medianOr(
              same.map((x) => x.ln),
              0,
            )
      if (Math.abs(middle) > STILL_LN) continue
      const scale = Math.sqrt(same.length / (same.length - 1))
      // Of two only one difference is free.
      for (const x of same.length === 2 ? same.slice(0, 1) : same)
        lessons.differences.push({ ln: (x.ln - middle) * scale, years: x.years })
    }
  }
}

function followInto(lessons: SiteLessons, m: Member): void {
  const used = m.tests.slice(m.start).filter((r) => r.doubt > 0)
  if (used.length < FEWEST_FOLLOWING) return
  const n = used.length
  const g0 = used.reduce((a, r) => a + r.g, 0) / n
  const y0 = used.reduce((a, r) => a + r.sighting.y, 0) / n
  let gg = 0
  let gy = 0
  for (const r of used) {
    gg += (r.g - g0) ** 2
    gy += (r.g - g0) * (r.sighting.y - y0)
  }
  if (gg < 0.02) return
  const slope = gy / gg
  let rest = 0
  for (const r of used) rest += (r.sighting.y - y0 - slope * (r.g - g0)) ** 2
  lessons.follows.push({ slope: slope - 1, se: Math.sqrt(rest / (n - 2) / gg) })
}

function shapeInto(lessons: SiteLessons, m: Member): void {
  let before: number | null = null
  for (const r of m.tests) {
    const { curve, oneReadingOffLn, test } = r.sighting
    if (!curve || oneReadingOffLn !== null || r.doubt === 0) continue
    const bend = curve[0] - curve[1]
    if (before !== null && r.sighting.roundingVar < 1e-5) lessons.bends.push(bend - before)
    before = bend
    if (m.lnG === null || !test.currentProbeM) continue
    const steep = (Math.exp(curve[2] - curve[0]) - 1) / 2.04
    const predicted = 1 / (2 * Math.PI * Math.exp(m.lnG)) / test.currentProbeM
    if (steep > 0.004 && steep < 0.08) lessons.steepness.push(Math.log(steep / Math.min(0.07, predicted)))
  }
}
