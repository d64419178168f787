import { describe, expect, it } from 'vitest'
import type { PriorTest } from '../../shared-lib/history/assessment.ts'
import { byTestDate, settledBy } from '../../shared-lib/history/settle.ts'
import type { FindingCode } from '../../shared-lib/survey/finding.ts'
import type { Work } from '../../shared-lib/survey/register.ts'

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

const settle = (
  code: FindingCode,
  of: PriorTest,
  tests: PriorTest[],
  more: { evidence?: Record<string, unknown>; works?: Work[]; codes?: [string, FindingCode[]][] } = {},
) =>
  settledBy({ code, evidence: more.evidence ?? {} }, of, {
    tests,
    works: more.works ?? [],
    codesOf: new Map((more.codes ?? []).map(([ref, codes]) => [ref, new Set(codes)])),
  })

describe('what settles a finding', () => {
  const first = test('A', 1)
  it('is the next usable test of the same quantity, for a finding about one test or a limit', () => {
    const invalid = test('B', 2, { validity: 'invalid', resistanceOhm: null })
    const other = test('C', 3, { measuredAs: 'connected' })
    const next = test('D', 4)
    expect(settle('limit-exceeded', first, [first, invalid, other, next])).toBe('D')
    expect(settle('limit-exceeded', first, [first, invalid, other])).toBeNull()
    expect(settle('readings-disagree', first, [first, test('E', 5, { method: 'clamp-loop' })])).toBeNull()
  })
  it('is a value that is back, for a change of the earth', () => {
    const evidence = { expectedRangeOhm: [8, 12] }
    const broken = test('A', 1, { resistanceOhm: 25 })
    const same = test('B', 2, { resistanceOhm: 24 })
    const back = test('C', 3, { resistanceOhm: 11 })
    expect(settle('step-rise', broken, [broken, same], { evidence })).toBeNull()
    expect(settle('step-rise', broken, [broken, same, back], { evidence })).toBe('C')
    expect(settle('step-rise', broken, [broken, same, back])).toBeNull()
    const low = test('A', 1, { resistanceOhm: 3 })
    expect(settle('parallel-path-suspected', low, [low, back], { evidence })).toBe('C')
  })
  it('is a test after recorded work, for a change of the earth', () => {
    const next = test('B', 3)
    const works: Work[] = [{ electrodeId: 'E', doneOn: '1970-01-03', what: 'repaired' }]
    expect(settle('corrosion-suspected', first, [first, next], { works })).toBe('B')
    expect(settle('corrosion-suspected', first, [first, test('B', 3, { event: 'replaced' })])).toBe('B')
    const stolen: Work[] = [{ electrodeId: 'E', doneOn: '1970-01-03', what: 'stolen' }]
    expect(settle('corrosion-suspected', first, [first, next], { works: stolen })).toBeNull()
  })
  it('is a later finding of the same kind, which takes it over', () => {
    const next = test('B', 2)
    expect(settle('rising-drift', first, [first, next], { codes: [['B', ['rising-drift']]] })).toBe('B')
    expect(settle('rising-drift', first, [first, next], { codes: [['B', ['step-rise']]] })).toBeNull()
  })
  it('is never a later test, for a finding about the record', () => {
    expect(settle('decimal-slip', first, [first, test('B', 2)])).toBeNull()
    expect(settle('decimal-slip', first, [first, test('B', 2, { corrects: 'A' })])).toBe('B')
  })
  it('is word that the link was found tight, for an earth left open', () => {
    expect(settle('earth-left-open', first, [first, test('B', 2)])).toBeNull()
    expect(settle('earth-left-open', first, [first, test('B', 2, { linkChecked: 'still-open' })])).toBeNull()
    expect(settle('earth-left-open', first, [first, test('B', 2, { linkChecked: 'not-opened' })])).toBeNull()
    expect(settle('earth-left-open', first, [first, test('B', 2, { linkChecked: 'tight' })])).toBe('B')
  })
  it('is not an earlier test, whatever order they came in', () => {
    const tests = [test('Z', 5), first].sort(byTestDate)
    expect(settle('limit-exceeded', tests[1]!, tests)).toBeNull()
  })
  it('orders tests of one instant by their reference', () => {
    expect([test('B', 1), test('A', 1)].sort(byTestDate).map((t) => t.surveyRef)).toEqual(['A', 'B'])
  })
})
