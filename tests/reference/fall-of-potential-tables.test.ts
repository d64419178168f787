import { describe, expect, it } from 'vitest'
import {
  correctPosition,
  fallTermPerM,
  positionCoefficient,
} from '../../shared-lib/earth/fall-of-potential.ts'
import { surfaceKernelPerM } from '../../shared-lib/earth/field/two-layer-soil.ts'
import { slopeMethod, slopeMu } from '../../shared-lib/earth/slope-method.ts'
import { FALL_THEORY } from './tables/fall-of-potential-theory.ts'
import { LEAD_ANGLES } from './tables/lead-angles.ts'
import { TAGG_SLOPE } from './tables/tagg-slope.ts'
import { TWO_LAYER_POSITIONS } from './tables/two-layer-positions.ts'

// Tables printed to so many digits: the tolerances are half their last one unless a reason is given.

describe('fall of potential in uniform soil, the whole table (COMPUTED)', () => {
  it.each(FALL_THEORY)('p = %f: c = %f and the errors at five distances', (p, c, ...errors) => {
    expect(Math.abs(positionCoefficient(p) - c)).toBeLessThan(5.1e-7)
    ;[5, 10, 20, 50, 100].forEach((timesA, i) => {
      const error = (-100 * positionCoefficient(p)) / timesA
      expect(Math.abs(error - errors[i]!)).toBeLessThan(5.1e-5)
    })
  })
})

describe('angle between the leads, the whole table (COMPUTED)', () => {
  it.each(LEAD_ANGLES)('%f degrees: inner %s, outer %s', (angle, inner, outer, atRule, atEnd) => {
    const found = correctPosition(angle)
    if (inner === null) expect(found).toBeNull()
    // At the last angle the two positions meet and the root is flat: a rounding of the angle to 1e-8 moves it by 1e-4.
    else expect(Math.abs(found! - inner)).toBeLessThan(inner === 1 ? 2e-4 : 1e-6)
    // The outer position is the inner one's reciprocal and reads right as well.
    if (outer !== null) {
      expect(Math.abs(1 / found! - outer)).toBeLessThan(outer === 1 ? 2e-4 : 2e-6)
      expect(Math.abs(fallTermPerM(outer, 1, angle))).toBeLessThan(1e-4)
    }
    expect(Math.abs(-fallTermPerM(0.62, 1, angle) - atRule)).toBeLessThan(1e-6)
    if (atEnd !== null) expect(Math.abs(-fallTermPerM(1, 1, angle) - atEnd)).toBeLessThan(1e-5)
  })
})

describe('slope method, the whole table', () => {
  const found = (mu: number) => slopeMethod(1, 2, 2 + mu)!
  it.each(TAGG_SLOPE)(
    'mu %f stands at %f of D (MEMORY), %f by the closed form (COMPUTED)',
    (mu, table, closed) => {
      expect(Math.abs(found(mu).correctPosition - closed)).toBeLessThan(1e-5)
      // NOTE, a known disagreement: the recalled table is low, never high, by up to 0.0016 near mu 1.45.
      expect(found(mu).correctPosition - table).toBeGreaterThan(-0.00055)
      expect(found(mu).correctPosition - table).toBeLessThan(0.0016)
    },
  )
  it('104 of 120 rows agree within 0.00055', () => {
    const close = TAGG_SLOPE.filter(([mu, table]) => Math.abs(found(mu).correctPosition - table) < 0.00055)
    expect([TAGG_SLOPE.length, close.length]).toEqual([120, 104])
  })
  it('mu tends to 2 as the offset grows (COMPUTED)', () => {
    expect(slopeMu(1e6)).toBeCloseTo(2, 5)
  })
})

describe('correct position over two layers, the whole table (COMPUTED for a point-like electrode)', () => {
  /** Where f(x) + f(D) = f(D − x), D = 1. */
  function position(contrast: number, depthM: number): number {
    const f = (r: number): number => surfaceKernelPerM(r, contrast, depthM)
    let [low, high] = [0.3, 0.95]
    for (let i = 0; i < 50; i++) {
      const x = (low + high) / 2
      if (f(x) + f(1) - f(1 - x) > 0) low = x
      else high = x
    }
    return low
  }
  it.each(TWO_LAYER_POSITIONS)('k %f, h/D %f: %f of D', (contrast, depth, p) => {
    expect(Math.abs(position(contrast, depth) - p)).toBeLessThan(6e-5)
  })
})
