import type { Place } from './rod-layout.ts'
import { rodResistanceOhm } from './rods.ts'

/**
 * n equal rods at these places, tops at the surface, uniform soil, ohm: all carry the same current, each pair by the average potential of
 * one over the other, rho/(2 pi L) (asinh(2L/s) − sqrt(1 + (s/2L)²) + s/2L) (Neumann's integral; for s > L it is Dwight's two rods). Equal currents lie
 * at most about 2 % above equal potentials. Null where the rods' own formula is null or two of them coincide.
 */
export function rodGroupResistanceOhm(
  soilOhmM: number,
  lengthM: number,
  diameterM: number,
  places: readonly Place[],
): number | null {
  const one = rodResistanceOhm(soilOhmM, lengthM, diameterM)
  const n = places.length
  if (one === null || n === 0) return null
  let sum = 0
  for (let i = 0; i < n; i++)
    for (let j = 0; j < i; j++) {
      const apart = Math.hypot(places[i]!.x - places[j]!.x, places[i]!.y - places[j]!.y)
      if (!(apart >= diameterM)) return null
      sum += 2 * pairTerm(apart / (2 * lengthM))
    }
  const value = one / n + (soilOhmM / (2 * Math.PI * lengthM)) * (sum / n ** 2)
  // Together they cannot be worse than one alone.
  return Number.isFinite(value) && value > 0 ? Math.min(value, one) : null
}

/** asinh(1/u) − sqrt(1 + u²) + u; far apart 1/2u (1 − 1/12u²), where the difference would lose its digits. */
function pairTerm(u: number): number {
  return u > 50 ? (1 - 1 / (12 * u * u)) / (2 * u) : Math.asinh(1 / u) - Math.sqrt(1 + u * u) + u
}
