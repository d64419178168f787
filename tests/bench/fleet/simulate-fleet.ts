import { type Random, randomFor } from '../../../sample-data/make/random.ts'
import type { Calibration, Electrode } from '../../../shared-lib/survey/register.ts'
import type { Survey } from '../../../shared-lib/survey/survey.ts'
import { makeElectrode, type TrueElectrode } from './electrodes.ts'
import { makeInstruments, type TrueInstrument } from './instruments.ts'
import { type Lasting, lastingEvents, type Numbers } from './planted.ts'
import type { FleetSetting } from './setting.ts'
import { readSheet, shown } from './sheet.ts'
import { type Label, ONE_OFF, type Truth } from './truth.ts'
import { type RegionSoil, regionSoil } from './weather.ts'

export interface Fleet {
  electrodes: Electrode[]
  calibrations: Calibration[]
  /** In the order in which they were handed in: some uploads come years late. */
  surveys: Survey[]
  truth: Truth[]
}

const START_MS = Date.UTC(2009, 0, 1)
const DAY_MS = 86_400_000
const REGIONS = 4
const CREWS = 9

/** What the visits of one site need. */
interface Site {
  id: string
  soil: RegionSoil
  own: Float64Array
  electrodes: {
    e: TrueElectrode
    lasting: Lasting[]
    wander: Float64Array
    done: { survey: Survey; truth: Truth }[]
    seen: Map<number, number>
  }[]
  instruments: TrueInstrument[]
}

/**
 * An invented operator with known truth; the same setting and seed make the same fleet. Unlike simulations that share one season
 * between the electrodes of a site (a sine or a staircase times each one's loading), here
 * - the season comes from rain, evaporation and frost through two soil layers, and an electrode follows each by its depth;
 * - sites depart from their region by a first-order random walk that is pulled back; electrodes wander on their own;
 * - noise has Student tails (5 degrees of freedom), crews of three classes of care, instruments batches with a common gain error;
 * - breaks have three sizes, corrosion eats section with a power of time, a site can corrode together;
 * - sheets are swapped between two electrodes or one goes astray; uploads may come years late.
 */
export function simulateFleet(setting: FleetSetting, seed: string | number): Fleet {
  const days = Math.round(setting.years * 365.25)
  const name = (...more: (string | number)[]) => randomFor('fleet', setting.name, seed, ...more)
  const numbers: Numbers = { next: 1 }
  const regions = Array.from({ length: REGIONS }, (_, r) => regionSoil(days, setting, name('region', r)))
  const instruments = makeInstruments(
    Math.max(4, Math.round(setting.sites / 6)),
    days,
    START_MS,
    setting,
    name('instruments'),
    numbers,
  )
  const crews = Array.from({ length: CREWS }, (_, c) => [0.7, 1, 1.5][c % 3]!)
  const electrodes: Electrode[] = []
  const late: { survey: Survey; handedInDay: number }[] = []
  const truth: Truth[] = []
  const offVisits = new Map<number, Set<number>>()
  let campaign = 0
  let refs = 0
  for (let s = 0; s < setting.sites; s++) {
    const random = name('site', s)
    const site = makeSite(`S${s}`, regions[s % REGIONS]!, instruments, days, setting, random, numbers)
    electrodes.push(...site.electrodes.map(({ e }) => e.register))
    const everyYears = random.between(...setting.visitYears)
    const sameMonth = random.chance(0.5)
    let day = Math.floor(random.between(0, 365 * Math.max(1, everyYears)))
    while (day < days - 8) {
      campaign++
      for (const made of visit(site, day, campaign, crews, offVisits, setting, random)) {
        made.survey.surveyRef = `V${refs++}`
        made.truth.ref = made.survey.surveyRef
        truth.push(made.truth)
        const dayOfIt = made.truth.day
        late.push({
          survey: made.survey,
          handedInDay: dayOfIt + (random.chance(0.05) ? random.between(100, 900) : random.between(0, 3)),
        })
      }
      const gap = everyYears * (sameMonth ? random.between(0.93, 1.07) : random.between(0.6, 1.5))
      day += Math.max(12, Math.round(gap * 365.25))
      // Nobody likes to drive stakes into frozen ground; some must.
      while (day < days - 8 && site.soil.frost[day]! > 0.25 && random.chance(0.8)) day += random.whole(3, 25)
    }
  }
  late.sort((a, b) => a.handedInDay - b.handedInDay)
  return {
    electrodes,
    calibrations: instruments.flatMap((i) => i.calibrations),
    surveys: late.map((l) => l.survey),
    truth,
  }
}

function makeSite(
  id: string,
  soil: RegionSoil,
  instruments: readonly TrueInstrument[],
  days: number,
  setting: FleetSetting,
  random: Random,
  numbers: Numbers,
): Site {
  const soilOhmM = Math.exp(4.4 + 0.9 * random.normal())
  const [few, many] = setting.electrodes
  const count = Math.min(many, Math.floor(few + (many - few + 1) * random.next() ** 1.5))
  const stricken = random.chance(setting.strickenSites)
  const beginDay = random.between(0.25 * days, 0.75 * days)
  const fullCurves = random.chance(0.35)
  const own = new Float64Array(days)
  const stay = Math.exp(-1 / setting.siteWeatherDays)
  for (let d = 1; d < days; d++)
    own[d] = stay * own[d - 1]! + setting.siteWeatherSd * Math.sqrt(1 - stay * stay) * random.normal()
  const first = random.whole(0, instruments.length - 1)
  return {
    id,
    soil,
    own,
    instruments: [instruments[first]!, instruments[(first + 1) % instruments.length]!],
    electrodes: Array.from({ length: count }, (_, i) => {
      const hit = stricken && random.chance(setting.together)
      const from = { fromDay: beginDay + random.between(0, 500), ratePerYear: random.between(0.05, 0.14) }
      const wander = new Float64Array(Math.ceil(days / 30) + 1)
      for (let m = 1; m < wander.length; m++)
        wander[m] = wander[m - 1]! + setting.wander * Math.sqrt(30 / 365.25) * random.normal()
      return {
        e: makeElectrode(`${id}-E${i}`, id, soilOhmM, fullCurves || random.chance(0.1), setting, random),
        lasting: lastingEvents(days, hit ? from : null, setting, random, numbers),
        wander,
        done: [],
        seen: new Map(),
      }
    }),
  }
}

interface Made {
  survey: Survey
  truth: Truth
}

/** One crew, two days, now and then two instruments. */
function visit(
  site: Site,
  day: number,
  campaign: number,
  crews: readonly number[],
  offVisits: Map<number, Set<number>>,
  setting: FleetSetting,
  random: Random,
): Made[] {
  const crew = random.whole(0, crews.length - 1)
  const two = random.chance(0.25)
  const made: Made[] = []
  const nth: number[] = []
  site.electrodes.forEach((el, i) => {
    if (random.chance(0.06)) return
    const instrument = site.instruments[two && random.chance(0.4) ? 1 : 0]!
    made.push(
      testOf(
        site,
        i,
        day + (random.chance(0.3) ? 1 : 0),
        campaign,
        crew,
        crews[crew]!,
        instrument,
        offVisits,
        setting,
        random,
      ),
    )
    nth.push(i)
    el.done.push(made.at(-1)!)
  })
  mixUp(made, random)
  return made
}

function testOf(
  site: Site,
  index: number,
  day: number,
  campaign: number,
  crew: number,
  care: number,
  instrument: TrueInstrument,
  offVisits: Map<number, Set<number>>,
  setting: FleetSetting,
  random: Random,
): Made {
  const el = site.electrodes[index]!
  const { e } = el
  const labels: Label[] = []
  let lnR = e.level + el.wander[Math.floor(day / 30)]!
  lnR +=
    e.follow *
    ((1 - e.deepShare) * site.soil.shallow[day]! + e.deepShare * site.soil.deep[day]! + site.own[day]!)
  lnR += e.frostShare * site.soil.frost[day]!
  let rise = 0
  let worked = false
  for (const l of el.lasting) {
    if (day < l.fromDay || day >= l.untilDay) continue
    const size = l.lnAt(day)
    const k = el.seen.get(l.ev) ?? 0
    el.seen.set(l.ev, k + 1)
    lnR += size
    labels.push({ type: l.type, k, size, ev: l.ev })
    if (l.type === 'corrosion') rise = size
    if (l.type === 'repairRecorded' && k === 0) worked = true
  }
  lnR += instrument.batchLn
  const off = instrument.off.find((o) => day >= o.fromDay && day < o.untilDay)
  if (off) {
    const visits = offVisits.get(off.ev) ?? new Set<number>()
    offVisits.set(off.ev, visits.add(campaign))
    lnR += off.ln
    labels.push({ type: 'instrument', k: visits.size - 1, size: off.ln, ev: off.ev })
  }
  lnR += setting.noiseSd * care * studentFive(random)
  const last = el.done.at(-1)
  const event = (type: Label['type'], size = 0) =>
    labels.push({ type, k: 0, size, ev: 1_000_000 + campaign * 100 + index })
  let bend = e.bend
  if (random.chance(0.004)) {
    const size = -random.between(0.25, 2.2)
    lnR += size
    event('parallelOnce', size)
  } else if (random.chance(0.005)) {
    bend = random.between(0.13, 0.38)
    event('tooclose', bend)
  }
  let readings = readSheet(e, lnR, bend, setting, random)
  const plain = labels.every((l) => !ONE_OFF.has(l.type))
  if (plain) {
    const ohms = readings.map((r) => r.resistanceOhm!)
    const ohmsBefore = last?.survey.readings.map((r) => r.resistanceOhm!) ?? []
    const put = (values: readonly number[]) => {
      readings = readings.map((r, i) => ({ ...r, resistanceOhm: shown(values[i]!) }))
    }
    const slip = random.next()
    if (slip < 0.0035) {
      const ln = random.pick([1, 1, -1]) * Math.LN10
      const one = random.chance(0.25) ? random.whole(0, ohms.length - 1) : -1
      put(ohms.map((r, i) => (one < 0 || i === one ? r * Math.exp(ln) : r)))
      event('decimal', ln)
    } else if (slip < 0.0053) {
      const ln = random.pick([1, -1]) * 3 * Math.LN10
      if (ohms[0]! * Math.exp(ln) > 0.005) {
        put(ohms.map((r) => r * Math.exp(ln)))
        event('unit', ln)
      }
    } else if (slip < 0.0088) {
      if (ohmsBefore.length === ohms.length) {
        put(ohmsBefore)
        event('copied')
      }
    } else if (slip < 0.0118) {
      const a = random.whole(0, ohms.length - 2)
      const z = random.whole(a + 1, ohms.length - 1)
      if (Math.abs(Math.log(ohms[a]! / ohms[z]!)) > 0.02) {
        const turned = [...ohms]
        turned[a] = ohms[z]!
        turned[z] = ohms[a]!
        put(turned)
        event('order')
      }
    }
  }
  const survey: Survey = {
    surveyRef: '',
    electrodeId: e.register.electrodeId,
    testedAt: new Date(START_MS + day * DAY_MS + 9 * 3_600_000).toISOString(),
    method: 'fall-of-potential',
    outcome: 'tested',
    measuredAs: 'electrode-alone',
    currentProbeM: e.currentProbeM,
    instrumentId: instrument.id,
    tester: `T${crew}`,
    ...(worked ? { event: 'repaired' as const } : {}),
    ...(site.soil.frost[day]! > 0.25 ? { soilState: 'frozen' as const } : {}),
    readings,
  }
  return {
    survey,
    truth: {
      ref: '',
      electrode: e.register.electrodeId,
      day,
      instrument: instrument.id,
      campaign,
      nPrior: el.done.length,
      afterOneOff:
        (last?.truth.labels.some((l) => ONE_OFF.has(l.type)) ?? false) ||
        hasJustEnded(el.lasting, el.done, day),
      drought: site.soil.drought[day] === 1,
      rise,
      worked,
      labels,
    },
  }
}

/** A path that was taken off since the test before the last is a rise that is true: no clean survey, though nothing is wrong. */
function hasJustEnded(lasting: readonly Lasting[], done: readonly Made[], day: number): boolean {
  const sinceDay = done.at(-2)?.truth.day ?? done.at(-1)?.truth.day ?? day
  return lasting.some((l) => l.untilDay > sinceDay && l.untilDay <= day)
}

/** Student's t with five degrees of freedom, standard deviation one. */
function studentFive(random: Random): number {
  let chi = 0
  for (let i = 0; i < 5; i++) chi += random.normal() ** 2
  return (random.normal() / Math.sqrt(chi / 5)) * Math.sqrt(3 / 5)
}

/** Two sheets of the visit change places, or one is written under another's number while that one's own is lost. */
function mixUp(made: Made[], random: Random): void {
  for (const [i, a] of made.entries()) {
    if (made.length < 2 || !random.chance(0.0022)) continue
    const b = made[(i + 1 + random.whole(0, made.length - 2)) % made.length]!
    const plain = [a, b].every((m) => m.truth.labels.every((l) => !ONE_OFF.has(l.type)))
    if (a === b || !plain || a.survey.readings.length !== b.survey.readings.length) continue
    const middle = (m: Made) => Math.log(m.survey.readings[1]!.resistanceOhm!)
    const size = middle(b) - middle(a)
    const ev = 9_000_000 + a.truth.campaign * 100 + i
    const keep = a.survey.readings
    a.survey.readings = carried(b.survey.readings, a)
    b.survey.readings = carried(keep, b)
    a.truth.labels.push({ type: 'wrongid', k: 0, size, ev })
    b.truth.labels.push({ type: 'wrongid', k: 0, size: -size, ev: ev + 50 })
  }
}

function carried(readings: Survey['readings'], to: Made): Survey['readings'] {
  return readings.map((r, i) => ({ ...r, potentialProbeM: to.survey.readings[i]!.potentialProbeM! }))
}
