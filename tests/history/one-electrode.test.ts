import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import type { Decision, PriorTest } from '../../shared-lib/history/assessment.ts'
import { assessOne, inputOf, neighbours, type OneElectrode, ROD, testOf, yearly } from './examples.ts'

const codesOf = (input: OneElectrode, ref: string) =>
  (assessOne(input).findings[ref] ?? []).map((f) => f.code)

const SOUND = [11, 11.3, 10.8, 11.1, 11.2]
const withLast = (ohm: number, extra: Partial<PriorTest> = {}) => [
  ...yearly(2015, SOUND),
  testOf('2020-05-03', ohm, extra),
]

describe('a test judged against earlier tests of its electrode', () => {
  it('is quiet about an electrode that only wavers', () => {
    const { findings, series } = assessOne(inputOf(withLast(11.6)))
    expect(findings).toEqual({})
    expect(series[0]).toMatchObject({ measuredAs: 'electrode-alone', n: 6 })
  })

  it('names both a slip and the dangerous explanation, dangerous first, when the value is ten times up', () => {
    const found = assessOne(inputOf(withLast(112))).findings['T-2020-05-03']!
    const slip = found.find((f) => f.code === 'decimal-slip')!
    expect(JSON.stringify(slip.evidence.alternatives)).toMatch(/broken.*decimal point slipped/)
    expect(slip.evidence).toMatchObject({ expectedOhm: expect.any(Number), ratio: expect.any(Number) })
  })

  it('names a unit slip when the value is a thousand times off', () => {
    expect(codesOf(inputOf(withLast(11_000)), 'T-2020-05-03')).toContain('unit-slip')
    expect(codesOf(inputOf(withLast(0.011)), 'T-2020-05-03')).toContain('unit-slip')
  })

  it('sees one slipped reading in an otherwise sound sheet', () => {
    const test = testOf('2020-05-03', 11, { validity: 'invalid', resistanceOhm: null, usableForTrend: false })
    test.readings = [10.9, 110, 11.2].map((r, i) => ({
      potentialProbeM: 15.6 + 3 * i,
      resistanceOhm: r,
      condition: 'ok',
    }))
    expect(codesOf(inputOf([...yearly(2015, SOUND), test]), 'T-2020-05-03')).toContain('decimal-slip')
  })

  it('raises a rise in one step and goes on from it once the next test confirms it', () => {
    const tests = [...withLast(34), testOf('2021-05-03', 34.5), testOf('2022-05-03', 34.2)]
    expect(codesOf(inputOf(tests), 'T-2020-05-03')).toContain('step-rise')
    expect(codesOf(inputOf(tests), 'T-2022-05-03')).toEqual([])
  })

  it('lets a step that returned leave the baseline alone', () => {
    const tests = [...withLast(34), testOf('2021-05-03', 11.07), testOf('2022-05-03', 11.25)]
    expect(codesOf(inputOf(tests), 'T-2021-05-03')).toEqual([])
    expect(codesOf(inputOf(tests), 'T-2022-05-03')).toEqual([])
  })

  it('suspects a parallel path when the value falls to a sixth', () => {
    const found = codesOf(inputOf(withLast(1.9)), 'T-2020-05-03')
    expect(found).toContain('parallel-path-suspected')
  })

  it('takes a shift that all neighbours share as the weather, and says so quietly', () => {
    const factors = [1, 1.02, 0.98, 1, 1.01, 1.6]
    const tests = yearly(
      2015,
      factors.map((f) => 11 * f),
    )
    const input = inputOf(tests, { peers: neighbours(tests, factors, 6) })
    const found = assessOne(input).findings[tests.at(-1)!.surveyRef]!
    expect(found.map((f) => f.code)).toEqual(['site-wide-shift'])
    expect(found[0]!.severity).toBe('notice')
  })

  it('raises the same rise when the neighbours stayed where they were', () => {
    const still = [1, 1.02, 0.98, 1, 1.01, 1]
    const tests = yearly(2015, [11, 11.2, 10.8, 11, 11.1, 17.6])
    const input = inputOf(tests, { peers: neighbours(tests, still, 6) })
    expect(codesOf(input, tests.at(-1)!.surveyRef)).toContain('step-rise')
  })

  it('tells a slow rise through the neighbours that did not move', () => {
    const tests = yearly(2012, [10, 10.7, 11.3, 12.1, 12.8, 13.7, 14.6, 15.5])
    const input = inputOf(tests, {
      peers: neighbours(
        tests,
        tests.map(() => 1),
        6,
      ),
    })
    const all = Object.values(assessOne(input).findings).flat()
    const told = all.filter((f) => f.code === 'rising-drift' || f.code === 'corrosion-suspected')
    expect(told.length).toBeGreaterThan(0)
  })

  it('asks about a sheet that repeats the earlier one, and lets coarse displays repeat themselves', () => {
    const tests = [testOf('2018-05-01', 11), testOf('2019-05-01', 11)]
    const repeated = assessOne(inputOf(tests)).findings['T-2019-05-01']!
    expect(repeated[0]).toMatchObject({ code: 'repeated-readings', evidence: { sameAs: 'T-2018-05-01' } })
    expect(repeated[0]!.message).not.toMatch(/copied|fraud|invent/i)
    const coarse = [testOf('2018-05-01', 0.1), testOf('2019-05-01', 0.1)]
    const mat = { ...ROD, kind: 'other' as const }
    expect(assessOne(inputOf(coarse, { electrode: mat })).findings).toEqual({})
  })

  it('starts anew after recorded work and says what the work did', () => {
    const tests = withLast(6, { event: 'extended' })
    const found = assessOne(inputOf(tests)).findings['T-2020-05-03']!
    expect(found.map((f) => f.code)).toEqual(['after-recorded-work'])
    const worked = inputOf(withLast(6), {
      works: [{ electrodeId: 'E-1', doneOn: '2020-01-10', what: 'extended' }],
    })
    expect(codesOf(worked, 'T-2020-05-03')).toEqual(['after-recorded-work'])
  })

  it('keeps values measured with something connected apart from the electrode alone', () => {
    expect(codesOf(inputOf(withLast(0.8, { measuredAs: 'connected' })), 'T-2020-05-03')).toEqual([])
  })

  it('leaves a survey that was set aside or corrected out of the baseline', () => {
    const wrong = testOf('2015-04-01', 100)
    const rest = yearly(2015, SOUND)
    const decision: Decision = {
      decisionId: 'D-1',
      findingId: 'F-1',
      surveyRef: wrong.surveyRef,
      code: 'decimal-slip',
      action: 'set-aside',
      reason: 'wrong sheet',
      decidedBy: 'quality@example.org',
      decidedAtMs: 0,
    }
    expect(codesOf(inputOf([wrong, ...rest]), 'T-2015-05-01')).not.toEqual([])
    expect(assessOne(inputOf([wrong, ...rest], { decisions: [decision] })).findings).toEqual({})
    const reopened = { ...decision, decisionId: 'D-2', action: 'reopen' as const, decidedAtMs: 1 }
    expect(
      codesOf(inputOf([wrong, ...rest], { decisions: [decision, reopened] }), 'T-2015-05-01'),
    ).not.toEqual([])
    rest[0]!.corrects = wrong.surveyRef
    expect(assessOne(inputOf([wrong, ...rest])).findings).toEqual({})
  })
})

const anyTest = fc.record({
  day: fc.integer({ min: 0, max: 6000 }),
  ohm: fc.oneof(fc.double({ min: 0.01, max: 5000, noNaN: true }), fc.constant(0)),
  validity: fc.constantFrom('valid' as const, 'doubtful' as const, 'invalid' as const),
  event: fc.option(fc.constantFrom('repaired' as const, 'extended' as const), { nil: undefined, freq: 9 }),
  measuredAs: fc.constantFrom('electrode-alone' as const, 'connected' as const),
  bare: fc.boolean(),
})

const anyTests = fc.array(anyTest, { maxLength: 14 }).map((list) =>
  list.map((t, i) => {
    const date = new Date(Date.UTC(2005, 0, 1) + t.day * 86_400_000).toISOString().slice(0, 10)
    const test = testOf(date, t.ohm, { surveyRef: `R-${i}`, validity: t.validity, measuredAs: t.measuredAs })
    if (t.event) test.event = t.event
    if (t.validity === 'invalid') Object.assign(test, { resistanceOhm: null, usableForTrend: false })
    if (t.bare) test.readings = []
    return test
  }),
)

/** Every number anywhere in the answer. */
function numbersIn(value: unknown): number[] {
  if (typeof value === 'number') return [value]
  if (value !== null && typeof value === 'object') return Object.values(value).flatMap(numbersIn)
  return []
}

describe('the judgement as a function', () => {
  it('never shows the order of arrival', () => {
    fc.assert(
      fc.property(anyTests, fc.integer({ min: 1, max: 1000 }), (tests, seed) => {
        const shuffled = tests
          .map((t, i) => ({ t, k: (i * 7919 + seed * 104729) % 1009 }))
          .sort((a, b) => a.k - b.k)
          .map((x) => x.t)
        expect(assessOne(inputOf(shuffled))).toEqual(assessOne(inputOf(tests)))
      }),
      { numRuns: 100 },
    )
  })

  it('never takes back or changes what it said of an earlier test when a later one comes', () => {
    fc.assert(
      fc.property(anyTests, (tests) => {
        const ordered = [...tests].sort(
          (a, b) => a.testedAtMs - b.testedAtMs || (a.surveyRef < b.surveyRef ? -1 : 1),
        )
        const before = assessOne(inputOf(ordered.slice(0, -1))).findings
        const after = assessOne(inputOf(ordered)).findings
        const last = ordered.at(-1)?.surveyRef
        for (const [ref, list] of Object.entries(after)) if (ref !== last) expect(list).toEqual(before[ref])
      }),
      { numRuns: 100 },
    )
  })

  it('gives finite numbers only, whatever comes in', () => {
    fc.assert(
      fc.property(anyTests, (tests) => {
        const answer = assessOne(
          inputOf(tests, {
            peers: neighbours(
              tests,
              tests.map(() => 1),
              3,
            ),
          }),
        )
        expect(numbersIn(answer).every(Number.isFinite)).toBe(true)
      }),
      { numRuns: 100 },
    )
  })
})
