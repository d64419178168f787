import { dayText, rounded } from '../comparison.ts'
import type { EvidencePoint, EvidenceTrend } from '../evidence.ts'
import type { Member } from '../model/member.ts'
import type { Verdict } from '../model/verdict.ts'
import { trendOf } from './drift.ts'

/** How many earlier tests a finding carries: enough for a plot, little enough to store. */
const MOST_POINTS = 14

/** The tests up to this one as a plot shows them, each with the band that was expected before it was read. */
export function pointsFor(v: Verdict): EvidencePoint[] {
  const earlier = v.entry.member.tests
    .slice(-MOST_POINTS)
    .map((r) => pointOf(r.sighting, r.expected, r.doubt > 0))
  const band = v.hasEarlier ? { mean: v.expected, sd: v.sd } : null
  return [...earlier, pointOf(v.entry.sighting, band, !v.entry.excluded && !v.entry.frozen)]
}

function pointOf(
  sighting: { y: number; test: { surveyRef: string; testedAtMs: number } },
  band: { mean: number; sd: number } | null,
  used: boolean,
): EvidencePoint {
  const point: EvidencePoint = {
    surveyRef: sighting.test.surveyRef,
    testedAt: dayText(sighting.test.testedAtMs),
    resistanceOhm: rounded(Math.exp(sighting.y), 4),
    used,
  }
  if (!band) return point
  return {
    ...point,
    expectedOhm: rounded(Math.exp(band.mean)),
    lowOhm: rounded(Math.exp(band.mean - 2 * band.sd)),
    highOhm: rounded(Math.exp(band.mean + 2 * band.sd)),
  }
}

/** Mann-Kendall and Sen's slope of the present baseline with this test: what an auditor asks for beside the model. */
export function trendFor(member: Member, sighting: { day: number; y: number }): EvidenceTrend | null {
  const used = member.tests.slice(member.start).filter((r) => r.doubt > 0)
  const trend = trendOf([...used.map((r) => r.sighting), sighting])
  if (!trend) return null
  const percent = (ln: number) => rounded((Math.exp(ln) - 1) * 100, 3)
  return {
    n: used.length + 1,
    kendallS: trend.kendall.s,
    pValue: rounded(trend.kendall.pValue, 3),
    slopePercentPerYear: percent(trend.sen.slope),
    slopeLowPercentPerYear: trend.sen.low === null ? null : percent(trend.sen.low),
    slopeHighPercentPerYear: trend.sen.high === null ? null : percent(trend.sen.high),
  }
}
