import { describe, expect, it } from 'vitest'
import { readEvidence } from '../../shared-lib/history/evidence.ts'
import { assessOne, inputOf, yearly } from './examples.ts'

const rising = [14, 14.9, 16.1, 17, 18.3, 19.4]
const forecasts = (values: number[], limitOhm: number | null = 25) => {
  const tests = yearly(2014, values).map((t) => ({ ...t, limitOhm }))
  const { findings } = assessOne(inputOf(tests))
  return Object.entries(findings).flatMap(([ref, list]) =>
    list.filter((f) => f.code === 'limit-forecast').map((finding) => ({ ref, finding })),
  )
}

describe('the day on which a limit will be met', () => {
  it('is forecast from five tests that rise beyond doubt, with an interval around it', () => {
    const found = forecasts(rising)
    expect(found.length).toBeGreaterThan(0)
    const evidence = readEvidence(found.at(-1)!.finding.evidence)
    const [earliest, latest] = evidence.crossesBetween!
    expect(earliest < evidence.crossesOn!).toBe(true)
    expect(latest === null || latest > evidence.crossesOn!).toBe(true)
    // 6.7 % a year from 19.4 ohm in May 2019 reaches 25 ohm in some four years.
    expect(evidence.crossesOn!.slice(0, 4)).toMatch(/202[2-4]/)
    expect(found.at(-1)!.finding.message).toMatch(/limit of 25 ohm/)
  })

  it('carries the fitted line with its band up to the limit, for a page to draw', () => {
    const { line, limitOhm, trend, points } = readEvidence(forecasts(rising).at(-1)!.finding.evidence)
    expect(line!.length).toBeGreaterThan(4)
    expect(line!.at(-1)!.ohm).toBeCloseTo(limitOhm!, 1)
    for (const p of line!) expect(p.lowOhm <= p.ohm && p.ohm <= p.highOhm).toBe(true)
    expect(trend!.pValue).toBeLessThan(0.05)
    expect(points!.length).toBe(6)
  })

  it('is not forecast from four tests, from a trend that may be none, from a fall, or without a limit', () => {
    expect(forecasts(rising.slice(0, 4))).toEqual([])
    expect(forecasts([14, 15.2, 14.1, 15.4, 14.4, 15])).toEqual([])
    expect(forecasts([...rising].reverse())).toEqual([])
    expect(forecasts(rising, null)).toEqual([])
  })

  it('is not forecast once the limit is passed, nor for a day nobody plans for', () => {
    expect(forecasts(rising, 12)).toEqual([])
    expect(forecasts(rising, 500)).toEqual([])
  })
})
