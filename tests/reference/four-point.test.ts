import { describe, expect, it } from 'vitest'
import { apparentResistivityOhmM } from '../../shared-lib/earth/four-point.ts'

describe('four-point', () => {
  it('20 ft and 2 ohm are 7662 ohm-cm (MIL-HDBK-419A Vol II eq. 1-1, FOUND; the page’s own 6.26 and 6.25 are slips for 2 pi)', () => {
    expect(apparentResistivityOhmM(20 * 0.3048, 2)! * 100).toBeCloseTo(7660, -1)
  })
  // COMPUTED ratio of the full to the simple formula for stakes of depth b.
  it.each([
    [0.05, 1.00436],
    [0.1, 1.01723],
    [0.2, 1.06589],
    [0.5, 1.31597],
    [1, 1.68447],
  ])('stakes %f of the spacing deep: full formula is %f times the simple one', (depth, ratio) => {
    expect(apparentResistivityOhmM(1, 1, depth)! / (2 * Math.PI)).toBeCloseTo(ratio, 4)
  })
  it('has no answer for what cannot be', () => {
    expect(apparentResistivityOhmM(0, 1)).toBeNull()
    expect(apparentResistivityOhmM(1, -1)).toBeNull()
    expect(apparentResistivityOhmM(Number.NaN, 1)).toBeNull()
  })
})
