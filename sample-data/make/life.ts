/** The true resistance of an electrode on a day: level, season, weather, youth, damage and work. */
import { dayOf } from './day.ts'
import type { DemoElectrode } from './electrode.ts'
import { frostMovement, HARD_FROST, isHardFrost, siteMovement } from './season.ts'
import { EARTH_EVENTS, type EarthEvent, WORKS } from './story-earth.ts'

const DAYS_A_YEAR = 365.25
/** A new electrode falls by about a quarter in its first two years as the ground settles round it. */
const YOUTH = { logExtra: 0.25, years: 0.7 }

function isActive(event: EarthEvent, day: number): boolean {
  return day >= dayOf(event.from) && (event.until === undefined || day < dayOf(event.until))
}

/** Events at work on that electrode that day. */
export function eventsOn(of: DemoElectrode, day: number): EarthEvent[] {
  return EARTH_EVENTS.filter((event) => event.electrodeId === of.register.electrodeId && isActive(event, day))
}

/** What one event has done to ln(R) by that day. */
export function damageOf(event: EarthEvent, day: number): number {
  if (event.kind === 'open-earth') return 0
  if (event.kind === 'broken-conductor') return Math.log(event.strength)
  const years = (day - dayOf(event.from)) / DAYS_A_YEAR
  return event.strength * years * years
}

/** True while nothing but a broken circuit is left to measure. */
export function isOpen(of: DemoElectrode, day: number): boolean {
  return eventsOn(of, day).some((event) => event.kind === 'open-earth')
}

/** True resistance of the electrode alone, ohm; as if it were whole when it is open. */
export function trueOhm(of: DemoElectrode, day: number): number {
  const work = WORKS.filter((one) => one.electrodeId === of.register.electrodeId && dayOf(one.doneOn) <= day)
  const frost = isHardFrost(of.site, day) ? frostMovement(of.register, HARD_FROST.depthM) : 0
  const age = (day - of.installedDay) / DAYS_A_YEAR
  const youth = YOUTH.logExtra * Math.exp(-Math.max(0, age) / YOUTH.years)
  const log =
    of.loading * siteMovement(of.site, day) +
    frost +
    youth +
    eventsOn(of, day).reduce((sum, event) => sum + damageOf(event, day), 0) +
    work.reduce((sum, one) => sum + one.logStep, 0)
  return of.levelOhm * Math.exp(log)
}
