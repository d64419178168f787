import { describe, expect, it } from 'vitest'
import type { PriorTest } from '../../shared-lib/history/assessment.ts'
import { byTestDate, settledBy } from '../../shared-lib/history/settle.ts'

const test = (surveyRef: string, day: number, more: Partial<PriorTest> = {}): PriorTest => ({
  surveyRef,
  electrodeId: 'E',
  siteId: 'X',
  testedAtMs: day * 86_400_000,
  method: 'fall-of-potential',
  measuredAs: 'electrode-alone',
  outcome: 'tested',
  validity: 'valid',
  usableForTrend: true,
  resistanceOhm: 10,
  expandedUncertaintyOhm: 0.5,
  conformity: 'conforming',
  limitOhm: 25,
  readings: [],
  ownCodes: [],
  ...more,
})

describe('what settles a finding', () => {
  const first = test('A', 1)
  it('is the next usable test of the same quantity, for a finding about the earth', () => {
    const invalid = test('B', 2, { validity: 'invalid', resistanceOhm: null })
    const other = test('C', 3, { measuredAs: 'connected' })
    const next = test('D', 4)
    expect(settledBy('step-rise', first, [first, invalid, other, next])).toBe('D')
    expect(settledBy('step-rise', first, [first, invalid, other])).toBeNull()
  })
  it('is never a later test, for a finding about the record', () => {
    expect(settledBy('decimal-slip', first, [first, test('B', 2)])).toBeNull()
    expect(settledBy('decimal-slip', first, [first, test('B', 2, { corrects: 'A' })])).toBe('B')
  })
  it('is word that the link was closed, for an earth left open', () => {
    expect(settledBy('earth-left-open', first, [first, test('B', 2)])).toBeNull()
    expect(
      settledBy('earth-left-open', first, [first, test('B', 2, { linkChecked: 'still-open' })]),
    ).toBeNull()
    expect(settledBy('earth-left-open', first, [first, test('B', 2, { linkChecked: 'tight' })])).toBe('B')
  })
  it('is not an earlier test, whatever order they came in', () => {
    const tests = [test('Z', 5), first].sort(byTestDate)
    expect(settledBy('step-rise', tests[1]!, tests)).toBeNull()
  })
  it('orders tests of one instant by their reference', () => {
    expect([test('B', 1), test('A', 1)].sort(byTestDate).map((t) => t.surveyRef)).toEqual(['A', 'B'])
  })
})
