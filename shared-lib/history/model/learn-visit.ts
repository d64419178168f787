import type { Beliefs } from './beliefs.ts'
import type { GroupEstimate } from './judge-visit.ts'
import { learnSeason, type Season } from './season.ts'

/** What an instrument saw of a site at one visit, beyond what the season had led to expect. */
export interface InstrumentResidual {
  instrumentId: string
  siteId: string
  /** Its first test there, and the visit's. */
  day: number
  visitDay: number
  /** ln R; variance of its electrodes' own scatter, and of season and weather, which all instruments of the visit share. */
  residual: number
  ownVar: number
  sharedVar: number
  /** The sharpest other instrument at the same visit. */
  other: { instrumentId: string; residual: number; ownVar: number } | null
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

/** A group that knows the site's level less well than this says nothing about season or instrument, ln². */
const WORTH_A_WORD = 0.05

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
    if (!(group.variance < WORTH_A_WORD)) continue
    const d = group.g - now.mean
    const doubt = now.variance + weather + group.variance
    if (group.instrumentId)
      lesson.instruments.push({
        instrumentId: group.instrumentId,
        siteId,
        day: group.day,
        visitDay: groups.reduce((a, g) => Math.min(a, g.day), group.day),
        residual: d,
        ownVar: group.variance,
        sharedVar: now.variance + weather,
        other: sharpestOther(i, groups, now.mean),
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
function sharpestOther(
  i: number,
  groups: readonly GroupEstimate[],
  expected: number,
): InstrumentResidual['other'] {
  let best: InstrumentResidual['other'] = null
  for (const [k, { instrumentId, g, variance }] of groups.entries())
    if (k !== i && instrumentId && variance < (best?.ownVar ?? WORTH_A_WORD))
      best = { instrumentId, residual: g - expected, ownVar: variance }
  return best
}
