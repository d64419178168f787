import { mean, sampleStandardDeviation } from 'simple-statistics'
import { studentQuantile } from './student-quantile.ts'

export interface GeneralizedEsd {
  /** Largest studentised deviation of each round, and the value it must exceed. */
  rounds: { index: number; deviation: number; critical: number }[]
  /** Indexes of the values that stand out, the furthest first; empty when none does. */
  outliers: number[]
}

/**
 * Rosner's generalized extreme studentized deviate test for up to `most` outliers at significance `alpha` (Rosner 1983; NIST/SEMATECH
 * e-Handbook 1.3.5.17.3): unlike a rule of three standard deviations it is not blinded by outliers that hide each other. For
 * normal data; use logarithms of resistances. Null with too few values (`most` + 3) or a value that is not finite.
 */
export function generalizedEsd(values: readonly number[], most: number, alpha = 0.05): GeneralizedEsd | null {
  const n = values.length
  if (most < 1 || n < most + 3 || !values.every(Number.isFinite)) return null
  const left = values.map((value, index) => ({ value, index }))
  const rounds: GeneralizedEsd['rounds'] = []
  let count = 0
  for (let i = 1; i <= most; i++) {
    const now = left.map((x) => x.value)
    const middle = mean(now)
    const sd = sampleStandardDeviation(now)
    let furthest = 0
    now.forEach((v, k) => {
      if (Math.abs(v - middle) > Math.abs(now[furthest]! - middle)) furthest = k
    })
    const deviation = sd > 0 ? Math.abs(now[furthest]! - middle) / sd : 0
    const t = studentQuantile(1 - alpha / (2 * (n - i + 1)), n - i - 1)
    const critical = ((n - i) * t) / Math.sqrt((n - i - 1 + t * t) * (n - i + 1))
    rounds.push({ index: left[furthest]!.index, deviation, critical })
    if (deviation > critical) count = i
    left.splice(furthest, 1)
  }
  return { rounds, outliers: rounds.slice(0, count).map((r) => r.index) }
}
