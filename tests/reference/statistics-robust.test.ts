import { describe, expect, it } from 'vitest'
import {
  MAD_TO_SD,
  medianOr,
  robustSd,
  weightedMedian,
} from '../../shared-lib/history/statistics/robust-scale.ts'

describe('robust location and scale against published values', () => {
  it('gives 2.9652 for 1 to 9 (R help page of mad, from memory)', () => {
    expect(robustSd([1, 2, 3, 4, 5, 6, 7, 8, 9], 0)).toBeCloseTo(2.9652, 4)
  })

  it('is not carried by one wild value: uranium data of NIST 1.3.5.17.1, scaled deviation 1.475187 (own computation)', () => {
    const uranium = [199.31, 199.53, 200.19, 200.82, 201.92, 201.95, 202.18, 245.57]
    expect(medianOr(uranium, 0)).toBeCloseTo(201.37, 9)
    // the source multiplies by the rounded 1.4826
    expect((robustSd(uranium, 0) / MAD_TO_SD) * 1.4826).toBeCloseTo(1.475187, 6)
    // Iglewicz-Hoaglin modified z, 29.96 in a public oracle file
    expect((245.57 - 201.37) / robustSd(uranium, 1)).toBeCloseTo(29.9627, 2)
  })

  it('returns the value given for nothing to measure', () => {
    expect(medianOr([], 7)).toBe(7)
    expect(medianOr([Number.NaN, 3], 7)).toBe(3)
    expect(robustSd([4], 0.05)).toBe(0.05)
    expect(weightedMedian([1, 2], [0, Number.NaN], 9)).toBe(9)
  })

  it('takes the weighted median where the running weight reaches half', () => {
    expect(weightedMedian([3, 1, 2], [1, 1, 5], 0)).toBe(2)
  })
})
