import { describe, expect, it } from 'vitest'
import { assessSite } from '../../shared-lib/history/assess-site.ts'
import type { PriorTest } from '../../shared-lib/history/assessment.ts'
import { readEvidence } from '../../shared-lib/history/evidence.ts'
import { defaultParameters } from '../../shared-lib/history/parameters.ts'
import { assessOne, inputOf, neighbours, type OneElectrode, testOf, yearly } from './examples.ts'

const SOUND = [11, 11.23, 10.87, 11.14, 11.03, 11.09]
const still = (tests: PriorTest[]) =>
  neighbours(
    tests,
    tests.map(() => 1),
    5,
  )
const withLast = (ohm: number, extra: Partial<PriorTest> = {}) => [
  ...yearly(2010, SOUND),
  testOf('2016-05-03', ohm, extra),
]
const lastOf = (tests: PriorTest[], extra: Partial<OneElectrode> = {}) =>
  assessOne(inputOf(tests, { peers: still(tests), ...extra })).findings[tests.at(-1)!.surveyRef] ?? []
const codes = (list: ReturnType<typeof lastOf>) => list.map((f) => f.code)

describe('what a practitioner insists on', () => {
  it('a season explains a drift and never a limit: no finding of the history speaks a value over it free', () => {
    const factors = [1, 1.02, 0.98, 1, 1.01, 1, 1.4]
    const tests = yearly(
      2010,
      factors.map((f) => 20 * f),
    ).map((t) => ({ ...t, limitOhm: 25, conformity: 'nonconforming' as const }))
    const found = lastOf(tests, { peers: neighbours(tests, factors, 5) })
    expect(codes(found)).toEqual(['site-wide-shift'])
    expect(found[0]!.message).toMatch(/does not excuse|more than a season/)
  })

  it('a rise that the neighbours do not share is loud whatever the season', () => {
    expect(lastOf(withLast(19))[0]).toMatchObject({ code: 'step-rise', severity: 'warning' })
  })

  it('a rise to three times is urgent', () => {
    expect(lastOf(withLast(36))[0]).toMatchObject({ severity: 'urgent' })
  })

  it('work that left the value over its limit is told', () => {
    const found = lastOf(withLast(10.5, { event: 'repaired', conformity: 'nonconforming' }))
    expect(found[0]).toMatchObject({ code: 'after-recorded-work', severity: 'warning' })
    expect(found[0]!.message).toMatch(/still over its limit/)
    expect(lastOf(withLast(9, { event: 'repaired' }))[0]).toMatchObject({ severity: 'notice' })
  })

  it('corrosion needs three tests over eighteen months, or something seen', () => {
    const told = (tests: PriorTest[]) =>
      Object.entries(assessOne(inputOf(tests, { peers: still(tests) })).findings).flatMap(([ref, list]) =>
        list.filter((f) => f.code === 'corrosion-suspected').map(() => ref),
      )
    const months = ['2016-01-04', '2016-04-05', '2016-07-06', '2016-10-07', '2016-12-01']
    const fast = months.map((d, i) => testOf(d, [10, 11.2, 12.9, 15.1, 18.3][i]!))
    expect(told(fast)).toEqual([])
    const seen = fast.map((t, i) => (i === 1 ? { ...t, visual: 'corroded' as const } : t))
    expect(told(seen)[0]).toBe('T-2016-04-05')
  })

  it('its words say that a steady resistance does not show that conductors are whole', () => {
    const tests = yearly(2010, [10, 10.7, 11.3, 12.1, 12.8, 13.7, 14.6, 15.8, 17.2, 18.8])
    const all = Object.values(assessOne(inputOf(tests, { peers: still(tests) })).findings).flat()
    const told = all.find((f) => f.code === 'corrosion-suspected')!
    expect(told.message).toMatch(/does not show that conductors are whole/)
    expect(told.message).toMatch(/part of the electrode or a joint may be going/)
  })

  it('ten times up names the broken earth beside the slip, and first', () => {
    const found = lastOf(withLast(111))[0]!
    const { alternatives } = readEvidence(found.evidence)
    expect(alternatives![0]!.explanation).toMatch(/broken/)
    expect(alternatives!.some((a) => /decimal point/.test(a.explanation))).toBe(true)
  })

  it('ten times down names the parallel path beside the slip, and first', () => {
    const { alternatives } = readEvidence(lastOf(withLast(1.11))[0]!.evidence)
    expect(alternatives![0]!.explanation).toMatch(/parallel path/)
    expect(alternatives!.some((a) => /decimal point/.test(a.explanation))).toBe(true)
  })

  it('a new electrode that falls by a fifth is settling in', () => {
    const tests = [testOf('2015-05-03', 14), testOf('2016-05-03', 11.2)]
    const young = { ...inputOf(tests).electrode, installedOn: '2015-04-01' }
    const old = { ...young, installedOn: '1990-04-01' }
    expect(codes(lastOf(tests, { electrode: young }))).toEqual(['settling-in'])
    expect(codes(lastOf(tests, { electrode: old }))).not.toContain('settling-in')
  })

  it('a change of line comes before any step: it is named, and makes a small difference no step', () => {
    const lines = (line: string) =>
      withLast(14.4).map((t, i) => ({ ...t, lineDirection: i < 6 ? 'north' : line }))
    expect(lastOf(lines('north')).filter((f) => f.severity !== 'notice')).toHaveLength(1)
    const turned = lastOf(lines('east'))
    expect(turned[0]).toMatchObject({ code: 'set-up-changed', severity: 'notice' })
    expect(turned.filter((f) => f.severity !== 'notice')).toEqual([])
    const far = withLast(30).map((t, i) => ({ ...t, lineDirection: i < 6 ? 'north' : 'east' }))
    const step = lastOf(far).find((f) => f.code === 'step-rise')!
    expect(JSON.stringify(step.evidence.alternatives)).toMatch(/another way than last time/)
  })

  it('a bond is mended at its ends: it has no season, no line of stakes and no part in the site', () => {
    const bond = (n: number, ohm: number) =>
      testOf(`${2010 + n}-05-0${(n % 6) + 1}`, ohm, {
        method: 'two-point',
        measuredAs: 'not-known',
        readings: [{ resistanceOhm: ohm, condition: 'ok' }],
      })
    const tests = [0.021, 0.023, 0.02, 0.022, 0.024, 0.021, 0.32].map((ohm, n) => bond(n, ohm))
    const found = lastOf(tests, { peers: [] }).find((f) => f.code === 'step-rise')!
    expect(found.message).toMatch(/both ends of the bond/)
    expect(found.advice.join(' ')).not.toMatch(/stake/)
  })

  it('frozen ground alone may do it: a rise then waits for the thaw unless it is far more than ice does', () => {
    const frozen = (ohm: number) => lastOf(withLast(ohm, { soilState: 'frozen' }))
    expect(frozen(20).filter((f) => f.severity !== 'notice')).toEqual([])
    expect(frozen(400)[0]!.message).toMatch(/frozen/)
  })
})

describe('the evidence of a finding', () => {
  const tests = withLast(24)
  const evidence = readEvidence(lastOf(tests)[0]!.evidence)
  it('holds the tests with the band that was expected before each, the plain statistics and the version', () => {
    expect(evidence.points!.map((p) => p.surveyRef)).toEqual(tests.map((t) => t.surveyRef))
    expect(evidence.points![0]!.expectedOhm).toBeUndefined()
    const last = evidence.points!.at(-1)!
    expect(last.lowOhm! < last.expectedOhm! && last.expectedOhm! < last.highOhm!).toBe(true)
    expect(last.resistanceOhm).toBeGreaterThan(last.highOhm!)
    expect(evidence.trend).toMatchObject({ n: 7, kendallS: expect.any(Number) })
    expect(evidence.parametersVersion).toBe(defaultParameters.version)
  })
  it('survives storage, and what is not well formed is left out rather than thrown', () => {
    const stored = JSON.parse(JSON.stringify(evidence))
    expect(readEvidence(stored)).toEqual(evidence)
    expect(readEvidence({ points: 'none', ratio: -1, expectedOhm: 11, other: 1 })).toEqual({
      expectedOhm: 11,
    })
  })
  it('is plain JSON of finite numbers for every finding of a site', () => {
    const site = assessSite({
      electrodes: [inputOf(tests), ...still(tests)],
      calibrations: [],
      parameters: defaultParameters,
    })
    expect(JSON.parse(JSON.stringify(site))).toEqual(site)
  })
})
