import type { Finding } from '../survey/finding.ts'
import type { Assessment, AssessmentInput } from './assessment.ts'
import { type Neighbours, neighboursOf, sharedShift } from './neighbours.ts'
import type { Observation } from './observation.ts'
import { percentPerYear, summaryOf, trendOf } from './rules/drift.ts'
import { comparisonOf, type Expectation, expectationOf } from './rules/expectation.ts'
import { afterRecordedWork, settlingIn, setUpChanged, siteWideShift } from './rules/notices.ts'
import { repeatedReadings } from './rules/repeated-readings.ts'
import { oneReadingSlip, slipFinding } from './rules/slips.ts'
import { medianOr } from './statistics/robust-scale.ts'
import { entersBaseline, type Rulings, rulingsOf, type Series, seriesOf, workBefore } from './timeline.ts'
import { comparisonFinding } from './wording.ts'

/**
 * Judges every test of one electrode against the tests before it. Pure and deterministic; by test date, so the order of the
 * input cannot be seen. Never throws on data. Limit findings belong to the evaluation of the survey and are not repeated.
 */
export function assessElectrode(input: AssessmentInput): Assessment {
  const rulings = rulingsOf(input.tests, input.decisions)
  const neighbours = neighboursOf(input.electrode.electrodeId, input.electrode.siteId, input.peers)
  const findings = new Map<string, Finding[]>()
  const series: Assessment['series'] = []
  for (const s of seriesOf(input.tests)) {
    const state = judgeSeries(s, input, rulings, neighbours, findings)
    const summary = summaryOf(s.observations[0]!.test.measuredAs, state.baseline, state.restarted)
    if (summary) series.push(summary)
  }
  return {
    findings: Object.fromEntries([...findings].sort((a, b) => (a[0] < b[0] ? -1 : 1))),
    series: series.sort((a, b) => (a.measuredAs < b.measuredAs ? -1 : 1)),
    parametersVersion: input.parameters.version,
  }
}

/** Where a series stands: its baseline, and a step seen once that the next test must settle. */
interface State {
  baseline: Observation[]
  pending: Observation | null
  restarted: boolean
  driftTold: boolean
}

function judgeSeries(
  series: Series,
  input: AssessmentInput,
  rulings: Rulings,
  neighbours: Neighbours,
  findings: Map<string, Finding[]>,
): State {
  const state: State = { baseline: [], pending: null, restarted: false, driftTold: false }
  const seen: Observation[] = []
  for (const o of series.observations) {
    const told = findings.get(o.test.surveyRef) ?? []
    judgeOne(o, seen, state, input, rulings, neighbours, told)
    if (told.length > 0) findings.set(o.test.surveyRef, told)
    seen.push(o)
  }
  return state
}

function judgeOne(
  o: Observation,
  seen: readonly Observation[],
  state: State,
  input: AssessmentInput,
  rulings: Rulings,
  neighbours: Neighbours,
  told: Finding[],
): void {
  const previous = seen.at(-1)
  const work = workBefore(o, previous, input.works, rulings)
  if (work) {
    const before =
      state.baseline.length > 0
        ? medianOr(
            state.baseline.slice(-5).map((b) => b.y),
            0,
          )
        : null
    if (previous) told.push(afterRecordedWork(o, work, before))
    Object.assign(state, { baseline: [], pending: null, restarted: true, driftTold: false })
  }
  const changed = previous ? setUpChanged(o, previous) : null
  if (changed) told.push(changed)
  const repeated = repeatedReadings(o, seen, input.parameters.noiseLn)
  if (repeated) told.push(repeated)
  const usable = entersBaseline(o, rulings)
  if (state.baseline.length === 0) {
    const alone = comparisonOf(o, [], { y: o.y, sd: 1, sharedLn: null, neighbours: 0 })
    const slip = oneReadingSlip(o, alone)
    if (slip) told.push(slip)
    if (usable && !repeated) state.baseline.push(o)
    return
  }
  const expected = expectationOf(o, state.baseline, neighbours, input.parameters)
  shiftNotice(expected, input, told)
  const slip = slipFinding(o, comparisonOf(o, state.baseline, expected), expected.sd)
  if (slip) told.push(slip)
  else if (usable && !repeated) step(o, expected, changed !== null, state, input, neighbours, told)
}

function shiftNotice(expected: Expectation, input: AssessmentInput, told: Finding[]): void {
  const shift = expected.sharedLn
  if (shift === null || expected.neighbours < 3 || Math.abs(shift) < 0.2) return
  told.push(
    siteWideShift(shift, expected.neighbours, Math.abs(shift) > Math.log1p(input.parameters.seasonLn) * 2),
  )
}

/** Rise or fall against the baseline; a step stays pending until the next test confirms it or not. */
function step(
  o: Observation,
  expected: Expectation,
  setUpDiffers: boolean,
  state: State,
  input: AssessmentInput,
  neighbours: Neighbours,
  told: Finding[],
): void {
  const off = o.y - expected.y
  const threshold = Math.max(0.2, 3.3 * expected.sd) + (setUpDiffers ? 0.15 : 0)
  const c = comparisonOf(o, state.baseline, expected)
  if (state.pending) {
    const fromPending = expectationOf(o, [state.pending], neighbours, input.parameters)
    if (Math.abs(o.y - fromPending.y) < Math.abs(off)) {
      const code = off > 0 ? 'step-rise' : 'step-fall'
      if (Math.abs(off) > threshold)
        told.push(comparisonFinding(code, c, null, { evidence: { confirms: state.pending.test.surveyRef } }))
      Object.assign(state, { baseline: [state.pending, o], pending: null, restarted: true, driftTold: false })
      return
    }
    state.pending = null
  }
  if (Math.abs(off) > threshold) {
    const settling = off < 0 ? settlingIn(o, expected.y, input.electrode) : null
    if (settling) told.push(settling)
    else told.push(comparisonFinding(stepCode(off), c, null))
    state.pending = o
    return
  }
  state.baseline.push(o)
  drift(o, expected, state, neighbours, told)
}

function stepCode(off: number): Finding['code'] {
  if (off > 0) return 'step-rise'
  return off < -Math.log(1.6) ? 'parallel-path-suspected' : 'improvement-unexplained'
}

/** `rising-drift` when Mann-Kendall and the Sen interval agree on a rise worth telling; once in a baseline. */
function drift(
  o: Observation,
  expected: Expectation,
  state: State,
  neighbours: Neighbours,
  told: Finding[],
): void {
  const first = state.baseline[0]!
  const points = state.baseline.map((b) => ({
    day: b.day,
    y: b.y - (sharedShift(neighbours, first.day, b.day)?.shiftLn ?? 0),
  }))
  const trend = trendOf(points)
  if (!trend || points.length < 5 || trend.spanYears < 1.5) return
  const rise = trend.sen.slope * trend.spanYears
  const sure =
    trend.kendall.s > 0 && trend.kendall.pValue < 0.03 && (trend.sen.low ?? -1) > 0 && rise > Math.log(1.2)
  if (!sure || state.driftTold) return
  state.driftTold = true
  const visual = o.test.visual === 'corroded'
  const c = comparisonOf(o, state.baseline.slice(0, -1), expected)
  const code = rise > Math.log(1.3) || visual ? 'corrosion-suspected' : 'rising-drift'
  told.push(
    comparisonFinding(code, c, null, {
      seen: `Over ${state.baseline.length} tests in ${trend.spanYears.toFixed(1)} years the resistance rises by about ${percentPerYear(trend.sen.slope).toFixed(0)} % a year, season taken off where neighbours tell it.`,
      evidence: {
        slopePercentPerYear: percentPerYear(trend.sen.slope),
        slopeLowPercentPerYear: trend.sen.low === null ? null : percentPerYear(trend.sen.low),
        kendallS: trend.kendall.s,
        pValue: trend.kendall.pValue,
        tests: state.baseline.length,
        spanYears: trend.spanYears,
      },
    }),
  )
}
