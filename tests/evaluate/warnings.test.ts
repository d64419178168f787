import { describe, expect, it } from 'vitest'
import { evaluateSurvey } from '../../shared-lib/evaluate/evaluate-survey.ts'
import { CALIBRATION, context, lineSurvey, ROD } from './surveys.ts'

const judge = (currentProbeM: number, readings: Record<number, number>, change = {}) =>
  evaluateSurvey(lineSurvey(currentProbeM, readings), context({ calibration: CALIBRATION, ...change }))
const warnings = (judged: ReturnType<typeof judge>) =>
  judged.findings.filter(({ severity }) => severity !== 'notice').map(({ code }) => code)

describe('a person is warned only where the value is in doubt and something is to be done', () => {
  it('a current probe at 4 times the size costs uncertainty and gives a notice', () => {
    const near = judge(12, { 52: 10.66, 62: 11, 72: 11.5 })
    expect(near.validity).toBe('valid')
    expect(warnings(near)).toEqual([])
    expect(near.findings.find(({ code }) => code === 'current-probe-too-close')?.severity).toBe('notice')
    const far = judge(30, { 52: 10.9, 62: 11, 72: 11.2 })
    expect(near.expandedUncertaintyOhm!).toBeGreaterThan(1.2 * far.expandedUncertaintyOhm!)
  })
  it('at 2 times the size it is a warning, and the value is doubtful', () => {
    const close = judge(6, { 52: 10.3, 62: 11, 72: 12 })
    expect(close.validity).not.toBe('valid')
    expect(warnings(close)).toContain('current-probe-too-close')
  })
  it('a steady rise of 11 %, as over rock or at a grid measured from its edge, is no disagreement', () => {
    const rising = judge(36, { 52: 10.4, 62: 10.95, 72: 11.6 }, { electrode: GRID })
    expect(rising.spreadPercent!).toBeGreaterThan(10)
    expect(rising.validity).toBe('valid')
    expect(warnings(rising)).toEqual([])
  })
  it('the same spread that no curve explains is one', () => {
    const scattered = judge(36, { 52: 10.95, 62: 10.2, 72: 11.6 }, { electrode: GRID })
    expect(scattered.validity).not.toBe('valid')
    expect(warnings(scattered).length).toBeGreaterThan(0)
  })
  it('two readings of nine that do not go with the others are named, also when they were not exchanged', () => {
    const judged = judge(
      24,
      { 10: 14.3, 20: 15.8, 30: 13.9, 40: 15.3, 50: 15.4, 60: 15.5, 70: 15.6, 80: 15.8, 90: 16.7 },
      { electrode: { ...ROD, lengthM: 1.8 } },
    )
    expect(judged.validity).not.toBe('valid')
    const named = judged.findings.find(({ code }) => code === 'reading-unusable')
    expect(named?.evidence.readings).toEqual([2, 3])
  })
})

const GRID = {
  ...ROD,
  kind: 'grid' as const,
  areaM2: 10,
  diagonalM: 4.47,
}

describe('decision at a limit', () => {
  const limited = (limitOhm: number, conformityRule?: 'guarded-0.95') =>
    judge(
      30,
      { 52: 10.9, 62: 11, 72: 11.2 },
      { electrode: { ...ROD, limitOhm }, ...(conformityRule && { conformityRule }) },
    )
  it('the guarded rule decides only what is 95 % sure, and is named', () => {
    const near = limited(11.1, 'guarded-0.95')
    expect(near.conformity).toBe('inconclusive')
    expect(near.conformityRule).toBe('guarded-0.95')
    expect(limited(25, 'guarded-0.95').conformity).toBe('conforming')
    expect(limited(5, 'guarded-0.95').conformity).toBe('nonconforming')
  })
  it('sure is one-sided: 1.645 standard uncertainties below the limit conform, though not two (JCGM 106)', () => {
    const { resistanceOhm, expandedUncertaintyOhm } = limited(25)
    const above = (u: number) => resistanceOhm! + (u * expandedUncertaintyOhm!) / 2
    expect(limited(above(1.7), 'guarded-0.95').conformity).toBe('conforming')
    expect(limited(above(1.6), 'guarded-0.95').conformity).toBe('inconclusive')
  })
})
