import type { Beliefs } from './beliefs.ts'

/** A site's season, ln R against the day of the year: level, yearly cosine and sine, half-yearly cosine and sine. */
export interface Season {
  beta: Float64Array
  /** Covariance, 5 × 5, row by row. */
  cov: Float64Array
}

const N = 5

export function priorSeason(b: Beliefs): Season {
  const cov = new Float64Array(N * N)
  const variances = [
    b.siteLevelSd ** 2,
    b.seasonSd ** 2,
    b.seasonSd ** 2,
    b.halfYearSd ** 2,
    b.halfYearSd ** 2,
  ]
  variances.forEach((v, i) => {
    cov[i * N + i] = v
  })
  return { beta: Float64Array.of(0, b.seasonCos, b.seasonSin, 0, 0), cov }
}

/** 1 and the yearly and half-yearly cosine and sine of a day. */
export function seasonBasis(day: number): [number, number, number, number, number] {
  const w = (2 * Math.PI * day) / 365.25
  return [1, Math.cos(w), Math.sin(w), Math.cos(2 * w), Math.sin(2 * w)]
}

/** Expected common mode of the site on a day, its variance, and how fast it changes (what a delay adds, for one radian). */
export function seasonAt(s: Season, day: number): { mean: number; variance: number; quadrature: number } {
  const x = seasonBasis(day)
  const b = s.beta
  let mean = 0
  let variance = 0
  for (let i = 0; i < N; i++) {
    mean += x[i]! * b[i]!
    for (let j = 0; j < N; j++) variance += x[i]! * x[j]! * s.cov[i * N + j]!
  }
  const quadrature = -b[1]! * x[2] + b[2]! * x[1] - 2 * b[3]! * x[4] + 2 * b[4]! * x[3]
  return { mean, variance: Math.max(0, variance), quadrature }
}

/**
 * One step of recursive least squares: the site was seen `observed` on `day` with `variance`. A lone electrode cannot tell the
 * site's level from its own, so it must not teach it (`levelToo`).
 */
export function learnSeason(
  s: Season,
  day: number,
  observed: number,
  variance: number,
  levelToo = true,
): void {
  const x = seasonBasis(day)
  if (!levelToo) x[0] = 0
  const px = new Float64Array(N)
  let predicted = 0
  let total = variance
  for (let i = 0; i < N; i++) {
    predicted += x[i]! * s.beta[i]!
    let sum = 0
    for (let j = 0; j < N; j++) sum += s.cov[i * N + j]! * x[j]!
    px[i] = sum
    total += x[i]! * sum
  }
  if (!(total > 1e-12)) return
  const innovation = (observed - predicted) / total
  for (let i = 0; i < N; i++) {
    s.beta[i] = s.beta[i]! + px[i]! * innovation
    for (let j = 0; j < N; j++) s.cov[i * N + j] = s.cov[i * N + j]! - (px[i]! * px[j]!) / total
  }
}
