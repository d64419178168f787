import { describe, expect, it } from 'vitest'
import { slopeMethod, slopeMu } from '../../shared-lib/earth/slope-method.ts'

/** Readings of an electrode whose centre lies X D behind the datum: R(p) = C − k (1/(p+X) + 1/(1+X) − 1/(1−p)). */
const reading = (c: number, k: number, x: number) => (p: number) =>
  c - k * (1 / (p + x) + 1 / (1 + x) - 1 / (1 - p))

describe('slope method', () => {
  // Exact anchors, COMPUTED.
  it.each([
    [0, 4 / 7],
    [0.2, 1],
    [0.4, 1.3],
    [0.6, 1.5],
    [-0.06604, 0.4],
  ])('offset %f gives mu %f', (x, mu) => {
    expect(slopeMu(x)).toBeCloseTo(mu, 4)
  })
  it('C = 5, k = 1.3, X = 0.17 comes back as X = 0.17, R = 5 (COMPUTED, exact)', () => {
    const r = reading(5, 1.3, 0.17)
    const found = slopeMethod(r(0.2), r(0.4), r(0.6))!
    expect(found.offsetFraction).toBeCloseTo(0.17, 9)
    expect(found.resistanceOhm).toBeCloseTo(5, 9)
  })
  // The usual table, MEMORY; it is low by up to 0.0015 near mu 1.45, so the tolerance is 0.002.
  it.each([
    [0.4, 0.643],
    [0.6, 0.614],
    [0.8, 0.58],
    [1.0, 0.542],
    [1.2, 0.494],
    [1.4, 0.431],
    [1.59, 0.341],
  ])('mu %f stands at %f of D, as in Tagg’s table', (mu, position) => {
    const found = slopeMethod(1, 2, 2 + mu)!
    expect(Math.abs(found.correctPosition - position)).toBeLessThan(0.002)
  })
  it.each([0.39, 1.6])('mu %f has no answer', (mu) => {
    expect(slopeMethod(1, 2, 2 + mu)).toBeNull()
  })
  it('readings that do not rise have no answer', () => {
    expect(slopeMethod(3, 2, 1)).toBeNull()
    expect(slopeMethod(2, 2, 2)).toBeNull()
  })
})
