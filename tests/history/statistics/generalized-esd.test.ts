import { describe, expect, it } from 'vitest'
import { generalizedEsd } from '../../../shared-lib/history/statistics/generalized-esd.ts'
import { studentBelow, studentQuantile } from '../../../shared-lib/history/statistics/student-quantile.ts'

/** Rosner's 54 points, as in the NIST/SEMATECH e-Handbook 1.3.5.17.3. */
const ROSNER = [
  -0.25, 0.68, 0.94, 1.15, 1.2, 1.26, 1.26, 1.34, 1.38, 1.43, 1.49, 1.49, 1.55, 1.56, 1.58, 1.65, 1.69, 1.7,
  1.76, 1.77, 1.81, 1.91, 1.94, 1.96, 1.99, 2.06, 2.09, 2.1, 2.14, 2.15, 2.23, 2.24, 2.26, 2.35, 2.37, 2.4,
  2.47, 2.54, 2.62, 2.64, 2.9, 2.92, 2.92, 2.93, 3.21, 3.26, 3.3, 3.59, 3.68, 4.3, 4.64, 5.34, 5.42, 6.01,
]
/** EPA Unified Guidance 2009, example 12-4: naphthalene, n = 25. */
const NAPHTHALENE = [
  3.34, 5.39, 5.74, 6.88, 5.85, 5.59, 5.96, 1.47, 2.57, 5.39, 1.91, 1.74, 23.23, 1.82, 2.02, 6.12, 6.05, 5.18,
  4.43, 1.0, 8.64, 5.34, 5.53, 4.42, 35.45,
]

describe('the generalized extreme studentized deviate test', () => {
  it('gives the deviations and critical values that NIST prints for Rosner’s data, and finds three outliers', () => {
    const test = generalizedEsd(ROSNER, 10)!
    // NIST truncates to three decimals.
    const deviations = [3.118, 2.942, 3.179, 2.81, 2.815, 2.848, 2.279, 2.31, 2.101, 2.067]
    const criticals = [3.158, 3.151, 3.143, 3.136, 3.128, 3.12, 3.111, 3.103, 3.094, 3.085]
    test.rounds.forEach((r, i) => {
      expect(Math.abs(r.deviation - deviations[i]!)).toBeLessThan(0.0011)
      expect(Math.abs(r.critical - criticals[i]!)).toBeLessThan(0.0011)
    })
    expect(test.outliers.map((i) => ROSNER[i])).toEqual([6.01, 5.42, 5.34])
  })

  it('agrees with the EPA’s example, and finds nothing in its logarithms: the scale comes first', () => {
    const raw = generalizedEsd(NAPHTHALENE, 2)!
    expect(raw.rounds[0]!.deviation).toBeCloseTo(3.930957, 5)
    expect(raw.rounds[1]!.deviation).toBeCloseTo(4.160223, 5)
    expect(raw.rounds[0]!.critical).toBeCloseTo(2.821681, 5)
    expect(raw.rounds[1]!.critical).toBeCloseTo(2.801551, 5)
    expect(raw.outliers.map((i) => NAPHTHALENE[i])).toEqual([35.45, 23.23])
    expect(generalizedEsd(NAPHTHALENE.map(Math.log), 2)!.outliers).toEqual([])
  })

  it('has the critical values printed for n = 33 (EnvStats)', () => {
    const any = Array.from({ length: 33 }, (_, i) => Math.sin(i * 1.7))
    const criticals = generalizedEsd(any, 4)!.rounds.map((r) => r.critical)
    ;[2.951949, 2.938048, 2.923571, 2.908473].forEach((c, i) => {
      expect(criticals[i]).toBeCloseTo(c, 5)
    })
  })

  it('says nothing of too few values, or of one that is not a number', () => {
    expect(generalizedEsd([1, 2, 3], 1)).toBeNull()
    expect(generalizedEsd([1, 2, 3, 4, Number.NaN], 1)).toBeNull()
  })
})

describe('Student’s distribution', () => {
  it('has the quantiles of the printed tables', () => {
    // Two-sided 95 % points, any textbook (from memory).
    for (const [degrees, t] of [
      [1, 12.7062],
      [5, 2.5706],
      [10, 2.2281],
      [30, 2.0423],
    ] as const)
      expect(studentQuantile(0.975, degrees)).toBeCloseTo(t, 4)
  })
  it('has quantile and chance as each other’s inverse', () => {
    for (const p of [0.001, 0.2, 0.5, 0.9, 0.9999])
      expect(studentBelow(studentQuantile(p, 7), 7)).toBeCloseTo(p, 10)
  })
})
