import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { densestPlace, halfInterval } from '../../shared-lib/evaluate/belief-shape.ts'
import { normalCdf } from '../../shared-lib/evaluate/conformity.ts'

const BINS = 128
const inBins = (...models: [bin: number, weight: number][]) => {
  const bins = new Float64Array(BINS)
  for (const [bin, weight] of models) bins[bin]! += weight
  return bins
}

describe('how far a belief reaches', () => {
  it('is 2 standard deviations where all models agree, which a normal result leaves 4.55 % outside', () => {
    expect(halfInterval(inBins([0, 1]), 100, 1) / 100).toBeCloseTo(2, 1)
  })
  it('is the distance of the far models where they are more than 4.55 %, and hardly moves for fewer', () => {
    expect(halfInterval(inBins([0, 0.9], [100, 0.1]), 1, 1)).toBeGreaterThan(99)
    expect(halfInterval(inBins([0, 0.98], [100, 0.02]), 1, 1)).toBeLessThan(5)
  })
  it('leaves outside what a factor of 2 leaves outside for a normal result, whatever the models', () => {
    const model = fc.tuple(fc.nat(BINS - 1), fc.double({ min: 0.01, max: 1, noNaN: true }))
    fc.assert(
      fc.property(
        fc.array(model, { minLength: 1, maxLength: 20 }),
        fc.double({ min: 3, max: 60, noNaN: true }),
        (models, within) => {
          const bins = inBins(...models)
          const total = bins.reduce((sum, weight) => sum + weight, 0)
          const half = halfInterval(bins, within, total)
          const beyond = (z: number) => 1 - normalCdf(z)
          const outside = bins.reduce((sum, weight, bin) => {
            const far = bin + 0.5
            return sum + (weight / total) * (beyond((half - far) / within) + beyond((half + far) / within))
          }, 0)
          expect(Math.abs(outside - 2 * beyond(2))).toBeLessThan(0.006)
        },
      ),
    )
  })
})

describe('where a belief is thickest', () => {
  it('is the middle of models that lie evenly', () => {
    expect(densestPlace(inBins([60, 1], [64, 1]), 61, 10)).toBeCloseTo(62.5, 1)
  })
  it('is not moved by models beyond reach, and less by a tail than the median is', () => {
    const many: [number, number][] = [
      [20, 0.3],
      [21, 0.3],
    ]
    expect(densestPlace(inBins(...many, [90, 0.4]), 21, 30)).toBeCloseTo(21, 1)
    const tail = Array.from({ length: 40 }, (_, i): [number, number] => [22 + i, 0.01])
    const place = densestPlace(inBins(...many, ...tail), 21, 12)
    expect(place).toBeGreaterThan(20.5)
    expect(place).toBeLessThan(22)
  })
  it('stays where it was sent when nothing is near', () => {
    expect(densestPlace(inBins([100, 1]), 20, 5)).toBe(20)
  })
})
