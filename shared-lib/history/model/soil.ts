import { medianOr } from '../statistics/robust-scale.ts'
import type { Beliefs } from './beliefs.ts'

const LN_100 = Math.log(100)

/**
 * ln soil resistivity of a site from its electrodes (level less the formula's), robustly; each is off by about a third.
 * With none: 100 ohm-m, very wide.
 */
export function siteSoil(levels: readonly number[], b: Beliefs): { mean: number; variance: number } {
  if (levels.length === 0) return { mean: LN_100, variance: b.soilSd ** 2 }
  const spread = 0.12
  let m = levels.length >= 3 ? medianOr(levels, LN_100) : LN_100
  let sum = 0
  for (let round = 0; round < 6; round++) {
    sum = 1 / b.soilSd ** 2
    let weighted = sum * LN_100
    for (const x of levels) {
      const w = 5 / (4 + (x - m) ** 2 / spread) / spread
      sum += w
      weighted += w * x
    }
    m = weighted / sum
  }
  return { mean: m, variance: 1.3 / sum }
}
