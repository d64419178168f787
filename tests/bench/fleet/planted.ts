import type { Random } from '../../../sample-data/make/random.ts'
import type { FleetSetting } from './setting.ts'
import type { Planted } from './truth.ts'

/** One lasting change of an electrode. `atDay` counts from the fleet's first day; work ends what was broken before it. */
export interface Lasting {
  type: Planted
  ev: number
  fromDay: number
  /** First day on which it is over; Infinity while it lasts. */
  untilDay: number
  /** ln change at `day`. */
  lnAt(day: number): number
}

/** A counter shared by a fleet, so that every planted event has a number of its own. */
export interface Numbers {
  next: number
}

/**
 * The lasting events of one electrode. Breaks come in three sizes (a lost joint, part of a loop, nearly all); corrosion is a
 * conductor whose section goes with a power of time (exponent 0.7 to 1.8), not a parabola; both end with recorded work.
 */
export function lastingEvents(
  days: number,
  stricken: { fromDay: number; ratePerYear: number } | null,
  setting: FleetSetting,
  random: Random,
  numbers: Numbers,
): Lasting[] {
  const events: Lasting[] = []
  const years = days / 365.25
  const add = (
    type: Planted,
    rate: number,
    make: (fromDay: number) => Omit<Lasting, 'type' | 'ev' | 'fromDay'>,
  ) => {
    if (random.chance(1 - Math.exp(-rate * years))) {
      const fromDay = random.between(0, days)
      events.push({ type, ev: numbers.next++, fromDay, ...make(fromDay) })
    }
  }
  const forever = Number.POSITIVE_INFINITY
  add('break', setting.breakRate, () => {
    const size = random.pick([
      random.between(0.22, 0.6),
      random.between(0.22, 0.6),
      random.between(0.6, 1.6),
      random.between(0.6, 1.6),
      random.between(1.6, 2.8),
    ])
    return { untilDay: forever, lnAt: () => size }
  })
  add('parallel', setting.parallelRate, (fromDay) => {
    const size = -random.between(0.25, 2.2)
    return { untilDay: random.chance(0.5) ? fromDay + random.between(300, 1500) : forever, lnAt: () => size }
  })
  add('repair', 0.005, () => {
    const size = -random.between(0.22, 0.8)
    return { untilDay: forever, lnAt: () => size }
  })
  if (stricken) events.push(corrosion(stricken.fromDay, stricken.ratePerYear, random, numbers))
  else if (random.chance(1 - Math.exp(-setting.corrosionRate * years)))
    events.push(corrosion(random.between(0, days), random.between(0.03, 0.2), random, numbers))
  if (random.chance(1 - Math.exp(-0.012 * years))) {
    const fromDay = random.between(0.2 * days, days)
    const size = -random.between(0.1, 0.8)
    for (const e of events)
      if (e.fromDay < fromDay && e.type !== 'repair') e.untilDay = Math.min(e.untilDay, fromDay)
    events.push({ type: 'repairRecorded', ev: numbers.next++, fromDay, untilDay: forever, lnAt: () => size })
  }
  return events
}

function corrosion(fromDay: number, ratePerYear: number, random: Random, numbers: Numbers): Lasting {
  const exponent = random.between(0.7, 1.8)
  const scale = random.between(0.7, 1.4) * ratePerYear
  return {
    type: 'corrosion',
    ev: numbers.next++,
    fromDay,
    untilDay: Number.POSITIVE_INFINITY,
    // R = R0 / (1 − loss): slow at first in ln R, then faster as less is left.
    lnAt: (day) => -Math.log(1 - Math.min(0.85, scale * Math.max(0, (day - fromDay) / 365.25) ** exponent)),
  }
}
