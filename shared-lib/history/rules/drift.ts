import type { SeriesSummary } from '../assessment.ts'
import { yearsBetween } from '../days.ts'
import { generalizedEsd } from '../statistics/generalized-esd.ts'
import { type MannKendall, mannKendall } from '../statistics/mann-kendall.ts'
import { newestFor } from '../statistics/newest.ts'
import { medianOr } from '../statistics/robust-scale.ts'
import { type SenSlope, senSlope } from '../statistics/sen-slope.ts'

export interface Trend {
  kendall: MannKendall
  sen: SenSlope
  spanYears: number
}

/** Mann-Kendall and the Sen slope of ln R by years over the newest tests; null with fewer than four or all on one day. */
export function trendOf(all: readonly { day: number; y: number }[]): Trend | null {
  const points = newestFor(all)
  if (points.length < 4) return null
  const years = points.map((p) => yearsBetween(points[0]!.day, p.day))
  const values = points.map((p) => p.y)
  const kendall = mannKendall(values)
  const sen = kendall && senSlope(years, values, kendall.variance)
  return kendall && sen ? { kendall, sen, spanYears: years.at(-1)! } : null
}

/** Rosner's test is for some fifteen values or more, and for few outliers among them. */
const FEWEST_FOR_OUTLIERS = 15
const MOST_OUTLIERS = 3

function outliersOf(baseline: readonly { test: { surveyRef: string }; y: number }[]): string[] {
  if (baseline.length < FEWEST_FOR_OUTLIERS) return []
  const test = generalizedEsd(
    baseline.map((p) => p.y),
    MOST_OUTLIERS,
  )
  return (test?.outliers ?? []).map((i) => baseline[i]!.test.surveyRef)
}

/** ln slope a year as % a year. */
function percentPerYear(slope: number): number {
  return (Math.exp(slope) - 1) * 100
}

/** The statistics auditors know, shown beside the findings. `baseline` is the present one. */
export function summaryOf(
  measuredAs: SeriesSummary['measuredAs'],
  baseline: readonly { test: { testedAtMs: number; surveyRef: string }; day: number; y: number }[],
  restarted: boolean,
): SeriesSummary | null {
  if (baseline.length === 0) return null
  const trend = trendOf(baseline)
  const percent = (slope: number | null | undefined) =>
    slope === null || slope === undefined ? null : percentPerYear(slope)
  const outlierRefs = outliersOf(baseline)
  return {
    ...(outlierRefs.length > 0 ? { outlierRefs } : {}),
    measuredAs,
    n: baseline.length,
    medianOhm: Math.exp(
      medianOr(
        baseline.map((o) => o.y),
        0,
      ),
    ),
    slopePercentPerYear: percent(trend?.sen.slope),
    slopeLowPercentPerYear: percent(trend?.sen.low),
    slopeHighPercentPerYear: percent(trend?.sen.high),
    kendallS: trend?.kendall.s ?? null,
    pValue: trend?.kendall.pValue ?? null,
    baselineFromMs: restarted ? baseline[0]!.test.testedAtMs : null,
  }
}
