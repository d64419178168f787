import type { Fit, LoadingPrior } from './regression.ts'

/** f(t) of a fitted history. */
function shapeAt(fit: Fit, t: number): number {
  const since = t - fit.tau
  if (fit.shape === 'flat' || since <= 0) return 0
  return fit.shape === 'step' ? 1 : since * since
}

/** Expected ln R at common mode `g`, quadrature `q` and time `t`, without noise. */
export function meanAt(fit: Fit, g: number, q: number, t: number): number {
  return fit.x0 + (1 + fit.x1) * g + fit.x2 * q + fit.x3 * shapeAt(fit, t)
}

/** Variance of that expectation. */
export function varianceAt(fit: Fit, g: number, q: number, t: number): number {
  const l = fit.l
  const u1 = 1 / l[0]!
  const u2 = (g - l[1]! * u1) / l[2]!
  const u3 = (q - l[3]! * u1 - l[4]! * u2) / l[5]!
  let sum = u1 * u1 + u2 * u2 + u3 * u3
  if (fit.shape !== 'flat') {
    const u4 = (shapeAt(fit, t) - l[6]! * u1 - l[7]! * u2 - l[8]! * u3) / l[9]!
    sum += u4 * u4
  }
  return fit.noiseVar * sum
}

/** What a flat fit has learnt about loading and lag, a little loosened for the next baseline. */
export function loadingOf(fit: Fit): LoadingPrior {
  const l = fit.l
  // Block of the inverse of L·L' for x1, x2 (the last two rows of the 3 × 3 factor).
  const i22 = 1 / l[2]!
  const i33 = 1 / l[5]!
  const i32 = -(l[4]! * i22) * i33
  const loose = fit.noiseVar / 0.9
  return {
    x1: fit.x1,
    x2: fit.x2,
    v11: loose * (i22 * i22 + i32 * i32),
    v12: loose * i32 * i33,
    v22: loose * i33 * i33,
  }
}
