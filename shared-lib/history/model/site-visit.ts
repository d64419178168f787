import type { Residual } from './common-mode.ts'

/** What one visit saw of the site, ln R above its electrodes' own levels, and each electrode's word on it. */
export interface SiteVisit {
  day: number
  g: number
  variance: number
  words: Residual[]
}
