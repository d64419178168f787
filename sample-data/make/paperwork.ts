/** What a crew writes down besides the readings: people, permit, ground and weather, the link opened and closed again. */
import type { Survey } from '../../shared-lib/survey/survey.ts'
import { clock, isoDay, yearOf } from './day.ts'
import type { DemoElectrode } from './electrode.ts'
import type { Random } from './random.ts'
import { rounded } from './rounding.ts'
import { siteMovement, soilStateOn, soilTemperatureC } from './season.ts'
import type { PlannedTest } from './visit.ts'

type Words = Partial<Survey>

/** Names of the persons in control of each system, invented. */
const IN_CONTROL = ['Sela W.', 'Brannoc H.', 'Oddny F.', 'Marl G.']
const REMARKS = [
  'Gate key with the depot, ask first',
  'Grass cut last week',
  'Stake 2 moved 0.3 m, stone',
  'Lid is heavy, two people',
  'Cattle in the field, quiet',
  'Marker plate renewed',
  'Line as last time; "old" peg still there',
  'Wind, leads weighted down',
  'First try gave a loose clamp.\nCleaned it and began again',
  'Ground soft after the rain',
]

/** People, permit and instrument. */
export function people(test: PlannedTest, random: Random): Words {
  const isolable = test.electrode.register.canBeIsolated !== 'no'
  return {
    instrumentId: test.crew.instrumentId,
    tester: test.crew.tester,
    ...(random.chance(0.7) ? { secondPerson: test.crew.secondPerson } : {}),
    ...(test.purpose === 'commissioning' ? { witness: 'Edwy L.' } : {}),
    ...(isolable ? { personInControl: IN_CONTROL[test.electrode.site.letters.charCodeAt(0) % 4]! } : {}),
    ...(test.electrode.register.canBeIsolated === 'outage-only'
      ? {
          permitRef: `DEMO-P-${isoDay(test.day).slice(2, 4)}-${String(random.whole(1, 900)).padStart(3, '0')}`,
        }
      : {}),
  }
}

/** Ground and weather on the day. */
export function ground(of: DemoElectrode, day: number, random: Random): Words {
  const state = soilStateOn(of.site, day)
  const soilTemperature = soilTemperatureC(of.site, day)
  return {
    soilState: state,
    soilTemperatureC: soilTemperature,
    airTemperatureC: Math.round(soilTemperature + random.between(-3, 5)),
    rainLast48h: state === 'wet' ? 'yes' : state === 'moist' && random.chance(0.4) ? 'yes' : 'no',
  }
}

/** Opened before, closed after, checked: all but tests that leave the earth closed. Zoned as the crew writes its times. */
export function link(test: PlannedTest, at: (minute: number) => string, random: Random): Words {
  const after = test.minute + random.whole(14, 32)
  return {
    linkOpenedAt: at(test.minute - random.whole(6, 14)),
    linkClosedAt: at(after),
    linkChecked: random.chance(0.75) ? 'tight-and-measured' : 'tight',
    restoredBy: test.crew.tester,
  }
}

/** The set-up: stakes' own resistance follows the soil, stray voltage is small. */
export function setUp(of: DemoElectrode, day: number, resistanceOhm: number, random: Random): Words {
  const dryness = Math.exp(1.5 * siteMovement(of.site, day))
  const stakeOhm = of.site.soil.upperOhmM * dryness
  const fourWire = resistanceOhm < 1.2
  return {
    probeHOhm: Math.round(stakeOhm * random.between(1.2, 3)),
    probeSOhm: Math.round(stakeOhm * random.between(1.5, 4)),
    interferenceV: rounded(random.between(0, 0.8), 1),
    testFrequencyHz: random.pick([105, 111, 128]),
    testCurrentMa: random.pick([2, 5, 10]),
    connection: fourWire ? '4-wire' : '3-wire',
    ...(fourWire || resistanceOhm > 5 ? {} : { earthLeadOhm: 0.06 }),
    leads: random.chance(0.96) ? 'apart' : 'side-by-side',
    lineDirection: of.register.usualLine ?? 'not noted',
  }
}

/** What was seen, and a remark now and then. */
export function seen(random: Random): Words {
  const roll = random.next()
  const visual = roll < 0.9 ? 'good' : roll < 0.94 ? 'loose' : roll < 0.97 ? 'buried' : 'not-seen'
  return { visual, ...(random.chance(0.06) ? { notes: random.pick(REMARKS) } : {}) }
}

/** `2024-05-03T10:20` with the offset given, or without one. */
export function stamp(day: number, minute: number, offset: string): string {
  return `${isoDay(day)}T${clock(minute)}:00${offset}`
}

/** In the first years not every sheet said what was connected. */
export function saysWhatWasConnected(of: DemoElectrode, day: number): boolean {
  return !(of.site.letters === 'HAT' && yearOf(day) < 2018)
}
