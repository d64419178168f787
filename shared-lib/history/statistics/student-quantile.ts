import { lnGamma } from '../model/student.ts'

const STEPS = 300
const EPSILON = 1e-14
const TINY = 1e-300

/** Regularised incomplete beta function by its continued fraction (Lentz's method; standard, from memory). */
function incompleteBeta(x: number, a: number, b: number): number {
  if (x <= 0) return 0
  if (x >= 1) return 1
  if (x > (a + 1) / (a + b + 2)) return 1 - incompleteBeta(1 - x, b, a)
  const front = Math.exp(lnGamma(a + b) - lnGamma(a) - lnGamma(b) + a * Math.log(x) + b * Math.log(1 - x)) / a
  let c = 1
  let d = 1 / Math.max(TINY, 1 - ((a + b) * x) / (a + 1))
  let value = d
  for (let m = 1; m < STEPS; m++) {
    const even = (m * (b - m) * x) / ((a + 2 * m - 1) * (a + 2 * m))
    d = 1 / (1 + even * d || TINY)
    c = 1 + even / c || TINY
    value *= d * c
    const odd = (-(a + m) * (a + b + m) * x) / ((a + 2 * m) * (a + 2 * m + 1))
    d = 1 / (1 + odd * d || TINY)
    c = 1 + odd / c || TINY
    value *= d * c
    if (Math.abs(d * c - 1) < EPSILON) break
  }
  return front * value
}

/** Chance that a Student t with `degrees` of freedom lies below `t`. */
export function studentBelow(t: number, degrees: number): number {
  const tail = 0.5 * incompleteBeta(degrees / (degrees + t * t), degrees / 2, 0.5)
  return t > 0 ? 1 - tail : tail
}

/** The value below which a Student t with `degrees` (> 0) of freedom lies with chance `p` (0 to 1, exclusive), by bisection. */
export function studentQuantile(p: number, degrees: number): number {
  if (p < 0.5) return -studentQuantile(1 - p, degrees)
  let low = 0
  let high = 1
  while (studentBelow(high, degrees) < p && high < 1e6) high *= 2
  for (let i = 0; i < 80; i++) {
    const middle = (low + high) / 2
    if (studentBelow(middle, degrees) < p) low = middle
    else high = middle
  }
  return (low + high) / 2
}
