import { FIXED } from './beliefs.ts'

/** How an instrument read a site over what was expected of it. */
export interface InstrumentResidual {
  day: number
  d: number
  variance: number
}

export interface Bias {
  mean: number
  variance: number
  /** Chance that it has gone off since its last calibration. */
  chance: number
}

const SIZES = [-0.32, -0.26, -0.2, -0.15, -0.11, 0.1, 0.14, 0.18, 0.22, 0.26]

/** Where an instrument stands, from its residuals since a calibration on `calibratedDay`. */
export function biasOf(residuals: readonly InstrumentResidual[], calibratedDay: number): Bias {
  const some = residuals.filter((x) => x.day >= calibratedDay).slice(-24)
  let sum = 0
  let first = 0
  let second = 0
  for (const b of SIZES) {
    let after = 1
    for (let i = some.length - 1; i >= 0; i--) {
      const x = some[i]!
      after *= likelihood(x.d, b, x.variance) / likelihood(x.d, 0, x.variance)
      const before = i > 0 ? Math.max(2, x.day - some[i - 1]!.day) : clip(x.day - calibratedDay, 10, 200)
      const w = ((FIXED.instrument * before) / 365.25 / SIZES.length) * after
      sum += w
      first += w * b
      second += w * b * b
    }
  }
  const mean = first / (1 + sum)
  return { mean, variance: 0.012 ** 2 + Math.max(0, second / (1 + sum) - mean ** 2), chance: sum / (1 + sum) }
}

function clip(x: number, lo: number, hi: number): number {
  return Math.min(hi, Math.max(lo, Number.isFinite(x) ? x : hi))
}

/** With a share for a local drought, which is no instrument. */
function likelihood(d: number, b: number, variance: number): number {
  const v = variance + 0.012 ** 2
  const normal = Math.exp((-0.5 * (d - b) ** 2) / v) / Math.sqrt(2 * Math.PI * v)
  const x = d - b
  const drought = x > -0.15 && x < 1 ? 0.7 : x >= 1 ? 0.007 : 0.02
  return 0.96 * normal + 0.04 * drought + 1e-6
}
