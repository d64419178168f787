import type { Learnt } from './beliefs.ts'

/** A site's season: weights of 1, cos, sin, cos 2, sin 2 of the day of the year, with their covariance. */
export interface Season {
  beta: number[]
  cov: number[][]
}

/** What is expected of the common mode on a day: mean, variance and the quadrature that a lag adds. */
export interface SeasonAt {
  mean: number
  variance: number
  quadrature: number
}

export function newSeason(l: Learnt): Season {
  const sd = [0.05, l.yearSd, l.yearSd, l.halfYearSd, l.halfYearSd]
  return {
    beta: [0, l.seasonCos, l.seasonSin, 0, 0],
    cov: sd.map((s, i) => sd.map((_, j) => (i === j ? s * s : 0))),
  }
}

export function harmonics(day: number): number[] {
  const w = (2 * Math.PI * day) / 365.25
  return [1, Math.cos(w), Math.sin(w), Math.cos(2 * w), Math.sin(2 * w)]
}

export function seasonAt(s: Season, day: number): SeasonAt {
  const x = harmonics(day)
  const cx = s.cov.map((row) => dot(row, x))
  return {
    mean: dot(s.beta, x),
    variance: dot(cx, x),
    quadrature: -s.beta[1]! * x[2]! + s.beta[2]! * x[1]!,
  }
}

/** One step of recursive least squares by an innovation of variance `v`. */
export function learnSeason(s: Season, day: number, innovation: number, v: number): Season {
  const x = harmonics(day)
  const cx = s.cov.map((row) => dot(row, x))
  const all = dot(cx, x) + v
  return {
    beta: s.beta.map((b, i) => b + (cx[i]! / all) * innovation),
    cov: s.cov.map((row, i) => row.map((c, j) => c - (cx[i]! * cx[j]!) / all)),
  }
}

function dot(a: readonly number[], b: readonly number[]): number {
  return a.reduce((s, x, i) => s + x * b[i]!, 0)
}
