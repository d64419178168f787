import { describe, expect, it } from 'vitest'
import { DEFAULT_BELIEFS } from '../../../shared-lib/history/model/beliefs.ts'
import {
  estimateShared,
  type Residual,
  sharedFor,
  sortedResiduals,
} from '../../../shared-lib/history/model/common-mode.ts'

const prior = { mean: 0, variance: 0.03 }
const residual = (electrodeId: string, r: number): Residual => ({
  electrodeId,
  day: 100,
  r,
  variance: 0.005,
})

describe('what the electrodes of a site share', () => {
  const seven = sortedResiduals([0.2, 0.22, 0.19, 0.21, 0.18, 0.23, 2.3].map((r, i) => residual(`E${i}`, r)))

  it('is the middle of them, whatever one broken electrode says', () => {
    const { g, peers } = estimateShared(seven, null, 100, prior, DEFAULT_BELIEFS)
    expect(peers).toBe(7)
    expect(g).toBeGreaterThan(0.15)
    expect(g).toBeLessThan(0.25)
  })

  it('is for each electrode what the others say: it does not pull the yardstick to itself', () => {
    const two = sortedResiduals([residual('A', 0), residual('B', 0.8)])
    expect(estimateShared(two, 'B', 100, prior, DEFAULT_BELIEFS).g).toBeCloseTo(0, 3)
    expect(estimateShared(two, 'A', 100, prior, DEFAULT_BELIEFS).g).toBeGreaterThan(0.3)
  })

  it('falls back to the season, drought allowed for, when there is nobody else', () => {
    const alone = sharedFor([residual('A', 1)], 'A', 100, prior, DEFAULT_BELIEFS)
    expect(alone.peers).toBe(0)
    expect(alone.options[0]).toMatchObject({ g: 0, variance: 0.03 })
    expect(alone.options.reduce((a, o) => a + o.share, 0)).toBeCloseTo(1, 12)
  })

  it('leaves it open whether one odd neighbour or the season is right', () => {
    const { options } = sharedFor([residual('A', 0), residual('B', 1)], 'A', 100, prior, DEFAULT_BELIEFS)
    expect(options.length).toBe(2)
    expect(options.reduce((a, o) => a + o.share, 0)).toBeCloseTo(1, 12)
  })

  it('trusts a neighbour tested days apart a little less', () => {
    const near = estimateShared([residual('A', 0.5)], 'B', 100, prior, DEFAULT_BELIEFS)
    const apart = estimateShared([residual('A', 0.5)], 'B', 107, prior, DEFAULT_BELIEFS)
    expect(apart.g).toBeLessThan(near.g)
  })
})
