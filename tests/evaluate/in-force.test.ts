import { describe, expect, it } from 'vitest'
import { contextInForce } from '../../shared-lib/evaluate/in-force.ts'
import type { Electrode } from '../../shared-lib/survey/register.ts'
import type { Survey } from '../../shared-lib/survey/survey.ts'

const survey = (testedAt: string): Survey => ({
  surveyRef: 'S',
  electrodeId: 'E',
  testedAt,
  method: 'fall-of-potential',
  outcome: 'tested',
  measuredAs: 'electrode-alone',
  instrumentId: 'I',
  readings: [],
})
const electrode = (limitOhm: number): Electrode => ({ electrodeId: 'E', siteId: 'X', kind: 'rod', limitOhm })
const books = {
  versions: [
    { from: '2024-01-01T00:00:00Z', electrode: electrode(10) },
    { from: '', electrode: electrode(25) },
  ],
  limits: [
    { electrodeId: 'E', purpose: 'lightning', limitOhm: 10, validFrom: '2020-01-01' },
    { electrodeId: 'E', purpose: 'lightning', limitOhm: 5, validFrom: '2025-01-01' },
    { electrodeId: 'E', purpose: 'neutral', limitOhm: 20 },
  ],
  calibrations: [
    { instrumentId: 'I', calibratedOn: '2024-06-01', accuracyPercent: 2 },
    { instrumentId: 'I', calibratedOn: '2025-06-01', accuracyPercent: 1 },
    { instrumentId: 'J', calibratedOn: '2025-07-01', accuracyPercent: 9 },
  ],
}

describe('what was in force when a survey was made', () => {
  it('takes the words of that day, not of today', () => {
    expect(contextInForce(survey('2023-05-01T00:00:00Z'), books)?.electrode.limitOhm).toBe(25)
    expect(contextInForce(survey('2024-05-01T00:00:00Z'), books)?.electrode.limitOhm).toBe(10)
  })
  it('takes the newest limit of each purpose and none that came later', () => {
    const limits = (at: string) => contextInForce(survey(at), books)?.limits.map((l) => l.limitOhm)
    expect(limits('2019-01-01T00:00:00Z')).toEqual([20])
    expect(limits('2024-01-01T00:00:00Z')).toEqual([10, 20])
    expect(limits('2026-01-01T00:00:00Z')).toEqual([5, 20])
  })
  it('takes no calibration that was made after the test, nor another instrument’s', () => {
    const accuracy = (at: string) => contextInForce(survey(at), books)?.calibration?.accuracyPercent
    expect(accuracy('2024-01-01T00:00:00Z')).toBeUndefined()
    expect(accuracy('2025-01-01T00:00:00Z')).toBe(2)
    expect(accuracy('2026-01-01T00:00:00Z')).toBe(1)
  })
  it('is nothing when the register has no words', () => {
    expect(contextInForce(survey('2024-01-01T00:00:00Z'), { ...books, versions: [] })).toBeNull()
  })
})
