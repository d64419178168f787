import type { Finding } from '../../survey/finding.ts'
import { dayText, rounded } from '../comparison.ts'
import { DAY_MS } from '../days.ts'
import type { EvidenceLinePoint, EvidencePoint } from '../evidence.ts'
import type { Member } from '../model/member.ts'
import type { Sighting } from '../model/sighting.ts'
import { mannKendall } from '../statistics/mann-kendall.ts'
import { newestFor } from '../statistics/newest.ts'
import { robustSd } from '../statistics/robust-scale.ts'
import { senSlope } from '../statistics/sen-slope.ts'

/** A practitioner's rule: no forecast from fewer tests, over less time, or from a trend that may be none. */
const FEWEST_TESTS = 5
const LEAST_YEARS = 1.5
const LARGEST_P = 0.05
/** Beyond this many years ahead nobody plans, and no trend lasts. */
const HORIZON_YEARS = 10
/** Told aloud when the limit may be met within this many years. */
const SOON_YEARS = 3
const LINE_POINTS = 9
const YEAR_DAYS = 365.25

/**
 * `limit-forecast`: when the electrode's value, freed of what the whole site did (season, weather), will meet its limit if it
 * goes on as it does. Sen's line with Gilbert's interval through the present baseline; null unless five tests show a trend
 * beyond its doubt and the limit lies ahead.
 */
export function limitForecast(m: Member, s: Sighting): Finding | null {
  const { limitOhm, outcome, validity } = s.test
  const last = m.tests.at(-1)
  if (limitOhm === null || !(limitOhm > 0) || outcome !== 'tested' || validity === 'invalid') return null
  const target = Math.log(limitOhm)
  if (s.y >= target) return null
  if (m.pending || !last || last.sighting !== s || last.doubt === 0) return null
  const used = newestFor(m.tests.slice(m.start).filter((r) => r.doubt > 0))
  if (used.length < FEWEST_TESTS || s.t - used[0]!.sighting.t < LEAST_YEARS) return null
  const t = used.map((r) => r.sighting.t - s.t)
  // Without neighbours the season is only a belief: then it stays in the scatter.
  const y = used.map((r) => r.sighting.y - (r.peers > 0 ? (1 + m.loading.x1) * r.g : 0))
  const kendall = mannKendall(y)
  if (!kendall || kendall.pValue > LARGEST_P) return null
  const sen = senSlope(t, y, kendall.variance)
  if (!sen || sen.slope <= 0) return null
  if (sen.low === null || sen.low <= 0 || sen.high === null) return null
  const inYears = (target - sen.intercept) / sen.slope
  if (inYears <= 0 || inYears > HORIZON_YEARS) return null
  const middleT = t[Math.floor((t.length - 1) / 2)]!
  const middleY = sen.intercept + sen.slope * middleT
  const scatter = robustSd(
    y.map((v, i) => v - sen.intercept - sen.slope * t[i]!),
    0.05,
  )
  const levelDoubt = (1.25 * Math.max(0.01, scatter)) / Math.sqrt(used.length)
  const crossing = (slope: number, level: number) => middleT + (target - level) / slope
  const earliest = Math.max(0, crossing(sen.high, middleY + 2 * levelDoubt))
  const latest = crossing(sen.low, middleY - 2 * levelDoubt)
  const on = (years: number) => dayText((s.day + years * YEAR_DAYS) * DAY_MS)
  const bandAt = (years: number): EvidenceLinePoint => {
    const at = sen.intercept + sen.slope * years
    const slope = years > middleT ? [sen.low!, sen.high!] : [sen.high!, sen.low!]
    return {
      on: on(years),
      ohm: rounded(Math.exp(at), 4),
      lowOhm: rounded(Math.exp(middleY - 2 * levelDoubt + slope[0]! * (years - middleT)), 4),
      highOhm: rounded(Math.exp(middleY + 2 * levelDoubt + slope[1]! * (years - middleT)), 4),
    }
  }
  const points: EvidencePoint[] = used.slice(-14).map((r) => ({
    surveyRef: r.sighting.test.surveyRef,
    testedAt: dayText(r.sighting.test.testedAtMs),
    resistanceOhm: rounded(Math.exp(r.sighting.y), 4),
    used: true,
  }))
  const percent = (ln: number) => rounded((Math.exp(ln) - 1) * 100, 3)
  const latestOn = latest > 40 ? null : on(latest)
  const soon = earliest <= SOON_YEARS
  return {
    code: 'limit-forecast',
    severity: soon ? 'warning' : 'notice',
    probability: null,
    message: `Rising by about ${percent(sen.slope)} % a year over ${used.length} tests, season taken off: at this rate the limit of ${rounded(limitOhm)} ohm is met about ${on(inYears).slice(0, 7)} (${on(earliest).slice(0, 7)} to ${latestOn ? latestOn.slice(0, 7) : 'later than forty years'}). ${soon ? 'Plan the inspection and the next test before that, in the season when this site reads highest.' : 'Nothing to do now: look at it again at the next test.'}`,
    advice: [
      'Inspect clamps, joints and the first half metre below ground.',
      'Keep the same line and distances for the next test.',
    ],
    evidence: {
      resistanceOhm: rounded(Math.exp(s.y), 4),
      limitOhm,
      crossesOn: on(inYears),
      crossesBetween: [on(earliest), latestOn],
      line: Array.from({ length: LINE_POINTS }, (_, i) =>
        bandAt(t[0]! + ((inYears - t[0]!) * i) / (LINE_POINTS - 1)),
      ),
      trend: {
        n: used.length,
        kendallS: kendall.s,
        pValue: rounded(kendall.pValue, 3),
        slopePercentPerYear: percent(sen.slope),
        slopeLowPercentPerYear: percent(sen.low),
        slopeHighPercentPerYear: percent(sen.high),
      },
      points,
    },
  }
}
