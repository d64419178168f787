import { describe, expect, it } from 'vitest'
import { conformityProbability, normalCdf } from '../../shared-lib/evaluate/conformity.ts'

describe('JCGM 106', () => {
  it('7.3 Table 1: one-sided coverage factors (MEMORY, recomputed)', () => {
    const z = [0.84, 1.28, 1.64, 2.33, 3.09]
    const p = [0.8, 0.9, 0.95, 0.99, 0.999]
    z.forEach((value, i) => {
      expect(Math.abs(normalCdf(value) - p[i]!)).toBeLessThan(0.0006)
    })
  })
  it('7.4: a Zener diode of −5.47 V, u 0.05 V, against −5.40 V conforms with 0.919 (MEMORY)', () => {
    expect(conformityProbability(-5.47, 0.05, -5.4)).toBeCloseTo(0.919, 3)
  })
  // COMPUTED.
  it.each([
    [9.2, 0.46, 10, 0.95899],
    [9.5, 0.475, 10, 0.85373],
    [10.3, 0.515, 10, 0.28012],
    [24, 1.2, 25, 0.79767],
    [4.6, 0.23, 5, 0.95899],
  ])('%f ohm with u %f against %f conforms with %f', (value, u, limit, probability) => {
    expect(conformityProbability(value, u, limit)).toBeCloseTo(probability, 4)
  })
  it('is null when anything is missing, and certain without uncertainty', () => {
    expect(conformityProbability(null, 1, 2)).toBeNull()
    expect(conformityProbability(1, 1, null)).toBeNull()
    expect(conformityProbability(1, 0, 2)).toBe(1)
    expect(conformityProbability(3, 0, 2)).toBe(0)
  })
})
