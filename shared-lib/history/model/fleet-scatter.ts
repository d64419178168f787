/**
 * How far an operator's sites really stand off their seasons against the doubt that was stated, learnt visit by visit. Operators differ by
 * half in it, and an instrument's bias is seen against nothing else.
 */
export interface FleetScatter {
  /** Standard deviation of the ordinary visit over the stated one, by the running median. */
  spread: number
  /** Share of visits far outside: a drought, frost, a site with a fault. */
  farShare: number
  seen: number
}

/** How many visits the belief before any is worth. */
const WORTH = 40
const FAR = 3
const USUAL_FAR_SHARE = 0.04
/** Median of |z| of a normal variable. */
const MEDIAN_Z = 0.6745

export const newFleetScatter = (): FleetScatter => ({ spread: 0.85, farShare: USUAL_FAR_SHARE, seen: 0 })

/** Learns from one visit's residual over its stated standard deviation. The median by small steps (Robbins and Monro). */
export function learnScatter(s: FleetScatter, z: number): void {
  const step = 1.5 / (WORTH + s.seen)
  const off = Math.abs(z)
  s.spread *= Math.exp(off > MEDIAN_Z * s.spread ? step : -step)
  s.farShare += ((off > FAR * s.spread ? 1 : 0) - s.farShare) / (WORTH + s.seen + 1)
  s.seen++
}
