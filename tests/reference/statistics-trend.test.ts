import { describe, expect, it } from 'vitest'
import { mannKendall } from '../../shared-lib/history/statistics/mann-kendall.ts'
import { twoSidedP } from '../../shared-lib/history/statistics/normal.ts'
import { seasonalKendall } from '../../shared-lib/history/statistics/seasonal-kendall.ts'
import { senSlope } from '../../shared-lib/history/statistics/sen-slope.ts'

// EPA Unified Guidance 2009 (EPA 530/R-09-007), Example 17-6, sulfate; data and results as in the EnvStats package
// (kendallTrendTest.Rd, EPA.09.Ex.17.6.sulfate.df). S and its variance: own computation from the same data.
const sulfateT = [
  89.6, 89.8, 90.1, 90.3, 90.6, 90.8, 91.1, 91.3, 91.6, 91.8, 92.1, 92.6, 93.1, 93.6, 94.1, 94.6, 95.1, 95.6,
  95.8, 96.1, 96.3, 96.6, 96.8,
]
const sulfateY = [
  480, 450, 490, 520, 485, 510, 510, 530, 510, 560, 560, 540, 590, 550, 600, 700, 570, 610, 650, 620, 830,
  720, 590,
]

describe('Mann-Kendall and the Sen slope against published values', () => {
  it('gives the test, slope, intercept and interval of EPA Example 17-6', () => {
    const mk = mannKendall(sulfateY)!
    expect(mk.s).toBe(194)
    expect(mk.variance).toBeCloseTo(1428, 9)
    expect(mk.z).toBeCloseTo(5.107322, 6)
    expect(mk.pValue / 3.267574e-7).toBeCloseTo(1, 5)
    const sen = senSlope(sulfateT, sulfateY, mk.variance)!
    expect(sen.pairs).toBe(253)
    expect(sen.slope).toBeCloseTo(26.6666667, 6)
    expect(sen.intercept).toBeCloseTo(-1909.3333333, 5)
    expect(sen.low).toBeCloseTo(20, 4)
    expect(sen.high).toBeCloseTo(35.71182, 4)
  })

  it('gives the values of EPA Example 17-7, sodium (data published, results our own computation)', () => {
    const t = [89.6, 90.1, 90.8, 91.1, 92.1, 93.1, 94.1, 95.6, 96.1, 96.3]
    const y = [56, 53, 51, 55, 52, 60, 62, 59, 61, 63]
    const mk = mannKendall(y)!
    expect([mk.s, mk.variance]).toEqual([25, 125])
    expect(mk.z).toBeCloseTo(2.1466253, 6)
    expect(mk.pValue).toBeCloseTo(0.0318231, 6)
    const sen = senSlope(t, y, mk.variance)!
    expect(sen.slope).toBeCloseTo(1.3333333, 6)
    expect(sen.intercept).toBeCloseTo(-65.9666667, 6)
    expect(sen.low).toBeCloseTo(0.399208, 5)
    expect(sen.high).toBeCloseTo(2.333333, 5)
  })

  it('counts a tie as in the Wisconsin code example (S published, variance our own computation)', () => {
    const mk = mannKendall([100, 50, 85, 75, 50])!
    expect(mk.s).toBe(-5)
    expect(mk.variance).toBeCloseTo(15.66667, 5)
  })

  it('gives S, z and p of the ten-point example of Helsel and Hirsch ch. 8 (from memory)', () => {
    const mk = mannKendall([1.22, 2.2, 4.8, 1.28, 1.97, 1.46, 2.64, 2.34, 4.84, 2.96])!
    expect([mk.s, mk.variance]).toEqual([21, 125])
    expect(mk.z).toBeCloseTo(1.78885, 5)
    expect(mk.pValue).toBeCloseTo(0.07364, 5)
  })

  it('gives S of the small exact cases of Gilbert 1987 and EPA QA/G-9 (from memory)', () => {
    expect(mannKendall([10, 15, 14, 20])!.s).toBe(4)
    expect(mannKendall([5, 6, 11, 8, 10])!.s).toBe(6)
  })

  it('gives the seasonal test of EPA Example 14-10 (S and variance our own computation)', () => {
    const years = [
      [1.99, 2.1, 2.12, 2.12, 2.11, 2.15, 2.19, 2.18, 2.16, 2.08, 2.05, 2.08],
      [2.01, 2.1, 2.17, 2.13, 2.13, 2.18, 2.25, 2.24, 2.22, 2.13, 2.08, 2.16],
      [2.15, 2.17, 2.27, 2.23, 2.24, 2.26, 2.31, 2.32, 2.28, 2.22, 2.19, 2.22],
    ]
    const entries = years.flatMap((row, k) => row.map((y, season) => ({ t: 1983 + k, y, season })))
    const sk = seasonalKendall(entries)!
    expect(sk.s).toBe(35)
    expect(sk.variance).toBeCloseTo(43, 9)
    expect(sk.z).toBeCloseTo(5.1849514, 6)
    expect(sk.pValue / 2.160712e-7).toBeCloseTo(1, 5)
    expect(sk.slope).toBeCloseTo(0.06, 9)
  })

  it('says nothing instead of not-a-number where there is too little or no variation', () => {
    expect(mannKendall([1, 2])).toBeNull()
    expect(mannKendall([1, Number.NaN, 2])).toBeNull()
    expect(mannKendall([3, 3, 3, 3])).toMatchObject({ s: 0, z: 0, pValue: 1 })
    expect(senSlope([1, 1, 1], [1, 2, 3], null)).toBeNull()
    expect(seasonalKendall([])).toBeNull()
    expect(twoSidedP(Number.POSITIVE_INFINITY)).toBe(0)
  })
})
