import { describe, expect, it } from 'vitest'
import {
  correctPosition,
  fallTermPerM,
  LAST_ANGLE_DEG,
  positionCoefficient,
  STRAIGHT_POSITION,
} from '../../shared-lib/earth/fall-of-potential.ts'

// Uniform soil, hemisphere: classic theory, all numbers COMPUTED by two independent methods (fop-theory, fop-angle tables).

describe('position coefficient', () => {
  it.each([
    [0.1, 9.888889],
    [0.2, 4.75],
    [0.5, 1.0],
    [0.52, 0.839744],
    [0.6, 0.166667],
    [0.62, -0.018676],
    [0.72, -1.18254],
    [0.9, -7.888889],
  ])('c(%f) = %f', (p, c) => {
    expect(positionCoefficient(p)).toBeCloseTo(c, 5)
  })
  it('vanishes at 61.8 %, the 62 % rule (FOUND restated in preprints.org 202408.1368)', () => {
    expect(positionCoefficient(STRAIGHT_POSITION)).toBeCloseTo(0, 12)
  })
  it('the mean of 52, 62 and 72 % over-reads by 0.1205 a/D', () => {
    const mean = [0.52, 0.62, 0.72].reduce((sum, p) => sum + positionCoefficient(p), 0) / 3
    expect(mean).toBeCloseTo(-0.120491, 5)
  })
})

describe('angle between the leads', () => {
  it.each([
    [0, 0.618034],
    [5, 0.622542],
    [10, 0.6367],
    [20, 0.706442],
    [25, 0.784844],
    [28, 0.884928],
    [28.9, 0.970863],
  ])('at %f degrees the correct position is %f', (angle, p) => {
    expect(correctPosition(angle)).toBeCloseTo(p, 5)
  })
  it('beyond 28.955 degrees there is none', () => {
    expect(LAST_ANGLE_DEG).toBeCloseTo(28.95502437, 6)
    expect(correctPosition(LAST_ANGLE_DEG - 1e-9)).toBeCloseTo(1, 3)
    for (const angle of [29, 45, 90, 180]) expect(correctPosition(angle)).toBeNull()
  })
  it.each([
    [30, -0.818379],
    [90, -1.763001],
    [180, -1.995619],
  ])('at %f degrees a probe at 62 %% is wrong by %f a/D', (angle, error) => {
    expect(-fallTermPerM(0.62, 1, angle)).toBeCloseTo(error, 5)
  })
})
