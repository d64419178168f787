import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { DEFAULT_BELIEFS } from '../../../shared-lib/history/model/beliefs.ts'
import { levelRegression } from '../../../shared-lib/history/model/level-regression.ts'
import { seasonBasis } from '../../../shared-lib/history/model/season.ts'
import type { SiteVisit } from '../../../shared-lib/history/model/site-visit.ts'

/** The textbook's conjugate regression by elimination over all visits: ln evidence up to what all shapes share, and the last coefficient. */
function byElimination(visits: readonly SiteVisit[], shape: readonly number[], shapeSd: number) {
  const b = DEFAULT_BELIEFS
  const s0 = b.weatherSd ** 2
  const means = [0, b.seasonCos, b.seasonSin, 0, 0, 0]
  const variances = [b.siteLevelSd ** 2 + 0.05, b.seasonSd ** 2, b.seasonSd ** 2]
  variances.push(b.halfYearSd ** 2, b.halfYearSd ** 2, shapeSd ** 2)
  const rows = visits.map((v, k) => [...seasonBasis(v.day), shape[k]!])
  const weights = visits.map((v) => 1 / (1 + v.variance / s0))
  const a = means.map((mean, i) => [
    ...means.map(
      (_, j) =>
        rows.reduce((sum, x, k) => sum + weights[k]! * x[i]! * x[j]!, 0) + (i === j ? s0 / variances[i]! : 0),
    ),
    rows.reduce((sum, x, k) => sum + weights[k]! * x[i]! * visits[k]!.g, 0) + (mean * s0) / variances[i]!,
  ])
  let lnDet = 0
  for (let i = 0; i < 6; i++) {
    lnDet += Math.log(a[i]![i]!)
    for (let r = 0; r < 6; r++) {
      if (r === i) continue
      const factor = a[r]![i]! / a[i]![i]!
      for (let c = i; c < 7; c++) a[r]![c]! -= factor * a[i]![c]!
    }
  }
  const found = a.map((row, i) => row[6]! / row[i]!)
  const prior = found.reduce((sum, x, i) => sum + (s0 / variances[i]!) * (x - means[i]!) ** 2, 0)
  const misfit = rows.reduce(
    (sum, x, k) =>
      sum + weights[k]! * (visits[k]!.g - x.reduce((at, term, i) => at + term * found[i]!, 0)) ** 2,
    prior,
  )
  const an = 4 + visits.length / 2
  const lnPriors = variances.reduce((sum, v) => sum + Math.log(s0 / v), 0)
  return { rise: found[5]!, lnEvidence: -0.5 * (lnDet - lnPriors) - an * Math.log(4 * s0 + misfit / 2) }
}

const visitsArb = fc
  .array(
    fc.record({
      gapDays: fc.integer({ min: 8, max: 500 }),
      g: fc.double({ min: -0.6, max: 0.6, noNaN: true }),
      variance: fc.double({ min: 1e-4, max: 0.05, noNaN: true }),
    }),
    { minLength: 4, maxLength: 40 },
  )
  .map((steps) => {
    let day = 16_000
    return steps.map(({ gapDays, g, variance }): SiteVisit => {
      day += gapDays
      return { day, g, variance, words: [] }
    })
  })

describe('the plain fits of what may have begun at a site', () => {
  it('are those of the textbook, for every ramp and step, however many visits there are', () => {
    fc.assert(
      fc.property(visitsArb, fc.nat(), (visits, at) => {
        const k = at % (visits.length - 2)
        const { begun } = levelRegression(visits, DEFAULT_BELIEFS).plain()
        const ramp = visits.map((v, i) => (i > k ? (v.day - visits[k]!.day) / 365.25 : 0))
        const step = visits.map((_, i) => (i > k ? 1 : 0))
        for (const [shape, numbers, sd] of [
          ['ramp', ramp, 0.12],
          ['step', step, 0.4],
        ] as const) {
          const fit = begun(shape, k + 1, sd)
          const other = begun('step', visits.length - 1, sd)
          const expected = byElimination(visits, numbers, sd)
          const last = visits.map((_, i) => (i === visits.length - 1 ? 1 : 0))
          expect(fit.rise).toBeCloseTo(expected.rise, 7)
          // The evidence is known up to what all shapes share: so two of them are set against each other.
          const ln = expected.lnEvidence - byElimination(visits, last, sd).lnEvidence
          expect(fit.lnEvidence - other.lnEvidence).toBeCloseTo(ln, 6)
        }
      }),
      { numRuns: 200 },
    )
  })

  it('see how far the farthest visit lies from the season', () => {
    const calm = Array.from({ length: 8 }, (_, i) => ({
      day: 16_000 + 90 * i,
      g: 0,
      variance: 1e-3,
      words: [],
    }))
    const { flat } = levelRegression(calm, DEFAULT_BELIEFS).plain()
    const odd = calm.map((v, i) => (i === 5 ? { ...v, g: 1.2 } : v))
    expect(flat.farthest).toBeLessThan(0.5)
    expect(levelRegression(odd, DEFAULT_BELIEFS).plain().flat.farthest).toBeGreaterThan(2)
  })
})
