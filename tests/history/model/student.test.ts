import { describe, expect, it } from 'vitest'
import { lnGamma, t8Below, t8Between, t8Density } from '../../../shared-lib/history/model/student.ts'

describe('Student t with eight degrees of freedom', () => {
  it('has the tabulated quantiles (standard tables, from memory)', () => {
    expect(t8Below(1.8595, 0, 1)).toBeCloseTo(0.95, 4)
    expect(t8Below(2.306, 0, 1)).toBeCloseTo(0.975, 4)
    expect(t8Below(-3.3554, 0, 1)).toBeCloseTo(0.005, 4)
  })

  it('has a distribution that is the integral of its density', () => {
    let sum = 0
    for (let x = -2 + 0.0005; x < 3; x += 0.001) sum += t8Density(x, 0.4, 0.7) * 0.001
    expect(t8Between(-2, 3, 0.4, 0.7)).toBeCloseTo(sum, 5)
  })

  it('loses no digits far out', () => {
    const far = t8Between(40, 41, 0, 1)
    let sum = 0
    for (let x = 40.0005; x < 41; x += 0.001) sum += t8Density(x, 0, 1) * 0.001
    expect(far / sum).toBeCloseTo(1, 2)
  })

  it('has the gamma function right at halves and wholes', () => {
    expect(lnGamma(0.5)).toBeCloseTo(Math.log(Math.sqrt(Math.PI)), 10)
    expect(lnGamma(6)).toBeCloseTo(Math.log(120), 10)
  })
})
