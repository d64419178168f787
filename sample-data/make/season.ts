/**
 * What the season and the weather of a site do to all its electrodes: the logarithm of the factor on a resistance. Steps
 * and pulses rather than a sine, as measured years show: a dry summer builds up for weeks and rain ends it.
 */
import type { Electrode } from '../../shared-lib/survey/register.ts'
import { dayOf, dayOfYear, yearOf } from './day.ts'
import { randomFor } from './random.ts'
import type { Site } from './site.ts'

/** A summer out of the ordinary, at the dry sites. */
const DRY_SUMMER = { from: dayOf('2022-07-05'), to: dayOf('2022-10-08'), extra: 0.34, climate: 'dry' }
/** A winter out of the ordinary, at one site; depth of the frozen ground in metres. */
export const HARD_FROST = {
  from: dayOf('2021-01-28'),
  to: dayOf('2021-03-04'),
  siteId: 'DEMO-GORSEVANE',
  depthM: 0.8,
}

/** Smooth 0 to 1 to 0 over the days between, with a slow rise and a quick fall. */
function drySpell(day: number): number {
  const start = 165
  const peak = 250
  const end = 292
  const d = dayOfYear(day)
  if (d <= start || d >= end) return 0
  const t = d < peak ? (d - start) / (peak - start) : (end - d) / (end - peak)
  return t * t * (3 - 2 * t)
}

/** Slow weather: a random level every 30 days, straight lines between. */
function weather(site: Site, day: number): number {
  const knot = Math.floor(day / 30)
  const at = (k: number) => randomFor('weather', site.siteId, k).normal() * 0.025
  const share = day / 30 - knot
  return at(knot) * (1 - share) + at(knot + 1) * share
}

const SUMMER = { dry: 0.24, mild: 0.12, cold: 0.08 } as const

export function isDrySummer(site: Site, day: number): boolean {
  return site.climate === DRY_SUMMER.climate && day >= DRY_SUMMER.from && day <= DRY_SUMMER.to
}

export function isHardFrost(site: Site, day: number): boolean {
  return site.siteId === HARD_FROST.siteId && day >= HARD_FROST.from && day <= HARD_FROST.to
}

/** Common movement of the site on that day, natural logarithm; 0 is the yearly middle. */
export function siteMovement(site: Site, day: number): number {
  const year = randomFor('year', site.siteId, yearOf(day))
  const strength = SUMMER[site.climate] * year.between(0.75, 1.25)
  const extra = isDrySummer(site, day) ? DRY_SUMMER.extra : 0
  return strength * (drySpell(day) - 0.25) + extra + weather(site, day)
}

/**
 * What frozen ground does to one electrode, natural logarithm of the factor: little while the frost stays above a wire, much
 * once it has passed it; a rod loses the frozen part of its length. After a two-layer calculation with a ratio of 20 (computed).
 */
export function frostMovement(of: Electrode, frostDepthM: number): number {
  if (of.kind === 'wire' || of.kind === 'ring') return frostDepthM > (of.burialDepthM ?? 0.6) ? 1.1 : 0.15
  if (of.kind === 'rod' || of.kind === 'rod-group' || of.kind === 'other')
    return (0.75 * frostDepthM) / (of.lengthM ?? 3)
  return 0.15
}

/** `soil_state` a tester would write down. */
export function soilStateOn(site: Site, day: number): 'dry' | 'moist' | 'wet' | 'frozen' {
  if (isHardFrost(site, day)) return 'frozen'
  const movement = siteMovement(site, day)
  if (movement > 0.09) return 'dry'
  return movement < -0.06 ? 'wet' : 'moist'
}

/** Soil temperature at the stakes, degrees Celsius. */
export function soilTemperatureC(site: Site, day: number): number {
  if (isHardFrost(site, day)) return -2.5
  const mean = { dry: 17, mild: 13, cold: 8 }[site.climate]
  const warmth = 1 - Math.abs(((dayOfYear(day) - 205 + 548) % 365) - 182.5) / 91.25
  return Math.round((mean + 7 * warmth + randomFor('warmth', site.siteId, day).normal()) * 2) / 2
}
