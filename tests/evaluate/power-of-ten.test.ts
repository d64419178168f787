import { describe, expect, it } from 'vitest'
import { evaluateSurvey } from '../../shared-lib/evaluate/evaluate-survey.ts'
import { powerOfTen } from '../../shared-lib/evaluate/power-of-ten.ts'
import { context, lineSurvey } from './surveys.ts'

describe('a reading that differs from its neighbours by a power of ten', () => {
  it.each([
    [112, [10.9, 11.2], 10],
    [11200, [11, 10.9, 11.3], 1000],
    [1.1, [10.9, 11.2], 0.1],
    [11.5, [10.9, 11.2], null],
    [40, [10.9, 11.2], null],
    [11.2e6, [10.9, 11.2], null],
    [11.2, [], null],
    [0, [10.9, 11.2], null],
  ])('%s beside %j is %s times', (value, others, power) => {
    expect(powerOfTen(value, others)).toBe(power)
  })
  it('is told with the likely slip, so that the crew knows what to look for', () => {
    const odd = evaluateSurvey(lineSurvey(30, { 52: 10.9, 62: 11, 72: 112 }), context())
    expect(odd.findings.find((f) => f.code === 'reading-unusable')!.message).toContain(
      'it is 10 times theirs, as with a slip of the decimal sign or the unit',
    )
    const off = evaluateSurvey(lineSurvey(30, { 52: 10.9, 62: 11, 72: 17 }), context())
    expect(off.findings.map((f) => f.message).join(' ')).not.toContain('times theirs')
  })
})
