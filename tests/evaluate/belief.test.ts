import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { openBelief } from '../../shared-lib/evaluate/belief.ts'

const believed = (models: [weight: number, value: number][]) => {
  const belief = openBelief(models.length)
  for (const [weight, value] of models) belief.add(Math.log(weight), value, 1e-6, 0, 0.01)
  return belief.result()
}

describe('belief over many models', () => {
  it('stays with the many where a few lie far off, and the mean would not', () => {
    const { value } = believed([
      [0.45, 1],
      [0.45, 1.001],
      [0.1, 1.2],
    ])
    expect(value).toBeGreaterThan(0.999)
    expect(value).toBeLessThan(1.003)
  })
  it('reaches as far as 95 % of the models lie: a doubt of one in ten counts in full, one in a hundred does not', () => {
    expect(
      2 *
        believed([
          [0.9, 1],
          [0.1, 1.2],
        ]).between,
    ).toBeGreaterThan(0.15)
    expect(
      2 *
        believed([
          [0.99, 1],
          [0.01, 1.2],
        ]).between,
    ).toBeLessThan(0.01)
  })
  it('adds the evidence up', () => {
    expect(
      believed([
        [0.25, 1],
        [0.5, 1.1],
      ]).logEvidence,
    ).toBeCloseTo(Math.log(0.75), 12)
  })
  it('lies between the lowest and the highest model, whatever their weights', () => {
    const model = fc.tuple(
      fc.double({ min: 1e-6, max: 1, noNaN: true }),
      fc.double({ min: 0.1, max: 10, noNaN: true }),
    )
    fc.assert(
      fc.property(fc.array(model, { minLength: 1, maxLength: 30 }), (models) => {
        const { value, within, between } = believed(models)
        const values = models.map(([, one]) => one)
        expect(value).toBeGreaterThanOrEqual(Math.min(...values) - 1e-9)
        expect(value).toBeLessThanOrEqual(Math.max(...values) + 1e-9)
        // Both together reach no farther than the farthest model and twice its own doubt.
        const range = Math.max(...values) - Math.min(...values)
        expect(2 * Math.hypot(within, between)).toBeLessThanOrEqual(1.01 * (range + 2 * within))
      }),
    )
  })
  it('has no evidence without a model', () => {
    expect(openBelief(1).result().logEvidence).toBe(Number.NEGATIVE_INFINITY)
  })
})
