import { describe, expect, it } from 'vitest'
import { apparentRatio, apparentResistivityOhmM } from '../../shared-lib/earth/four-point.ts'
import { apparentOf, fitSoil } from '../../shared-lib/earth/two-layer-sounding.ts'
import { WENNER_TWO_LAYER } from './tables/wenner-two-layer.ts'

describe('apparent resistivity over two layers (Wenner)', () => {
  // COMPUTED by image series, cross-checked by the Bessel integral to 1e-5; printed to seven digits, so 2e-6 is the table's rounding.
  it.each(WENNER_TWO_LAYER)(
    '%f over %f ohm-m at %f m: the six to ten spacings of the table',
    (upper, lower, h, rows) => {
      for (const [a, apparent, wennerOhm] of rows) {
        const found = apparentOf({ upperOhmM: upper, lowerOhmM: lower, depthM: h }, a)!
        expect(Math.abs(found / apparent - 1)).toBeLessThan(2e-6)
        expect(Math.abs(apparentResistivityOhmM(a, wennerOhm)! / apparent - 1)).toBeLessThan(2e-6)
      }
    },
  )
  it('tends to the upper layer near by and to the lower one far away', () => {
    expect(apparentRatio(0.01, 0.8, 2)).toBeCloseTo(1, 6)
    expect(apparentRatio(5000, -0.8, 2) / ((1 - 0.8) / (1 + 0.8))).toBeCloseTo(1, 4)
  })
  it('unequal spacings: pi c (c + d) R/d (Schlumberger-Palmer, MEMORY)', () => {
    expect(apparentResistivityOhmM(10, 3, 0, 2)).toBeCloseTo((Math.PI * 10 * 12 * 3) / 2, 9)
  })
})

describe('fit of two layers to the data of Seedher and Arora 1992 (MEMORY; reused by Gonos and Stathopulos 2005)', () => {
  const spacings = [2.5, 5, 7.5, 10, 12.5, 15]
  const measured = [320, 245, 182, 162, 168, 152]
  const fit = fitSoil(spacings.map((spacingM, i) => ({ spacingM, apparentOhmM: measured[i]! })))!
  // Published 383.498 / 147.657 / 2.560; absolute least squares 364.683 / 143.634 / 2.828 and relative 372.73 / 145.26 / 2.690 (COMPUTED).
  it('lies within the spread of the three solutions, 365 to 383 over 144 to 148 ohm-m at 2.56 to 2.83 m', () => {
    expect(fit.soil.upperOhmM).toBeGreaterThan(364.683)
    expect(fit.soil.upperOhmM).toBeLessThan(383.498)
    expect(fit.soil.lowerOhmM!).toBeGreaterThan(143.634)
    expect(fit.soil.lowerOhmM!).toBeLessThan(147.657)
    expect(fit.soil.depthM!).toBeGreaterThan(2.56)
    expect(fit.soil.depthM!).toBeLessThan(2.828)
  })
  it('states a doubt that covers the other two solutions (two standard uncertainties)', () => {
    for (const [upper, lower, depth] of [
      [383.498, 147.657, 2.56],
      [364.683, 143.634, 2.828],
    ] as const) {
      expect(Math.abs(Math.log(upper / fit.soil.upperOhmM))).toBeLessThan(2 * fit.upperDoubt)
      expect(Math.abs(Math.log(lower / fit.soil.lowerOhmM!))).toBeLessThan(2 * fit.lowerDoubt!)
      expect(Math.abs(Math.log(depth / fit.soil.depthM!))).toBeLessThan(2 * fit.depthDoubt!)
    }
  })
  it('the published solution predicts the readings within 6 %, as stated', () => {
    const published = { upperOhmM: 383.498, lowerOhmM: 147.657, depthM: 2.56 }
    const predicted = [327.3, 233.7, 187.4, 168.0, 159.5, 155.3]
    spacings.forEach((a, i) => {
      expect(Math.abs(apparentOf(published, a)! - predicted[i]!)).toBeLessThan(0.06)
      expect(Math.abs(predicted[i]! / measured[i]! - 1)).toBeLessThan(0.06)
    })
  })
})
