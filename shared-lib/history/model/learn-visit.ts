import type { Beliefs } from './beliefs.ts'
import type { GroupEstimate } from './judge-visit.ts'
import { learnSeason, type Season } from './season.ts'

/** What an instrument saw of a site at one visit, beyond what the season had led to expect. */
export interface InstrumentResidual {
  instrumentId: string
  siteId: string
  day: number
  /** ln R, with its variance. */
  residual: number
  variance: number
  tests: { electrodeId: string; surveyRef: string }[]
}

/** What a visit taught: how the whole site stood off its season, if that is worth a word, and each instrument's part. */
export interface VisitLesson {
  /** ln shift all share beyond the season, with the number of neighbours; null when it is nothing much. */
  shift: { ln: number; neighbours: number; beyondSeason: boolean } | null
  instruments: InstrumentResidual[]
  /** How the site stood, by the largest instrument group; null when too few could tell. */
  level: { day: number; g: number; variance: number } | null
}

/** After all tests of a visit are remembered: the season learns, and what its instruments saw is put aside. */
export function learnVisit(
  groups: readonly GroupEstimate[],
  now: { mean: number; variance: number },
  season: Season,
  siteId: string,
  b: Beliefs,
): VisitLesson {
  const weather = b.weatherSd ** 2
  const lesson: VisitLesson = { shift: null, instruments: [], level: null }
  for (const [i, group] of groups.entries()) {
    if (!(group.variance < 0.05)) continue
    const d = group.g - now.mean
    const doubt = now.variance + weather + group.variance
    if (group.instrumentId && group.variance < 0.02)
      lesson.instruments.push({
        instrumentId: group.instrumentId,
        siteId,
        day: group.day,
        ...sharpened(d, doubt, i, groups),
        tests: group.tests,
      })
    if (i > 0) continue
    if (Math.abs(d) > 2 * Math.sqrt(doubt) && group.tests.length >= 3)
      lesson.shift = {
        ln: d,
        neighbours: group.tests.length - 1,
        beyondSeason: Math.abs(d) > 3 * Math.sqrt(doubt),
      }
    lesson.level = { day: group.day, g: group.g, variance: group.variance }
    const z2 = (d * d) / doubt
    learnSeason(
      season,
      group.day,
      group.g,
      (group.variance + weather) * Math.max(1, z2 / 4),
      group.tests.length > 1,
    )
  }
  return lesson
}

/** Where another instrument was at the same visit, the contrast with it says more than the season does. */
function sharpened(
  d: number,
  doubt: number,
  i: number,
  groups: readonly GroupEstimate[],
): { residual: number; variance: number } {
  let precision = 1 / doubt
  let weighted = d * precision
  for (const [k, other] of groups.entries()) {
    if (k === i || !(other.variance < 0.02)) continue
    const variance = groups[i]!.variance + other.variance + 0.015 ** 2 + 0.02 ** 2
    weighted += (groups[i]!.g - other.g) / variance
    precision += 1 / variance
  }
  return { residual: weighted / precision, variance: 1 / precision }
}
