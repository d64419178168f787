import { describe, expect, it } from 'vitest'
import { evaluateSurvey } from '../../shared-lib/evaluate/evaluate-survey.ts'
import { toPriorTest } from '../../shared-lib/history/prior-test.ts'
import { trendOf } from '../../shared-lib/history/rules/drift.ts'
import { context, lineSurvey } from '../evaluate/surveys.ts'

describe('what a history keeps of a long curve', () => {
  const percents = Array.from({ length: 1000 }, (_, i) => 5 + (90 * i) / 1000)
  const survey = lineSurvey(60, Object.fromEntries(percents.map((p) => [p, 10 + p / 50])))
  it('is at most forty readings over the whole line, so that a thousand readings a survey stay storable', () => {
    const { readings } = toPriorTest(survey, evaluateSurvey(survey, context()), 'T')
    expect(readings).toHaveLength(40)
    expect(readings[0]).toEqual(survey.readings[0])
    expect(readings.at(-1)!.potentialProbeM! / 60).toBeGreaterThan(0.9)
  })
  it('is all of a short one', () => {
    const short = lineSurvey(30, { 52: 10.9, 62: 11, 72: 11.2 })
    expect(toPriorTest(short, evaluateSurvey(short, context()), 'T').readings).toEqual(short.readings)
  })
})

describe('a trend over very many tests', () => {
  it('is that of the newest hundred', () => {
    const points = Array.from({ length: 300 }, (_, i) => ({
      day: 30 * i,
      y: i < 200 ? 5 : 5 + 0.001 * (i - 200),
    }))
    expect(trendOf(points)).toEqual(trendOf(points.slice(-100)))
    expect(trendOf(points)!.kendall.pValue).toBeLessThan(1e-6)
  })
})
