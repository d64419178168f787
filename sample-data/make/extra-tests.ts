/** Tests that belong to the same round and are of something else: the soil, the instrument, the bonds. */
import { dayOf, monthStart } from './day.ts'
import type { Draft } from './draft.ts'
import { GONE_OFF, gainOf, INSTRUMENTS } from './instrument.ts'
import type { Soil } from './kernel.ts'
import { inOrder, instrumentLabels } from './label.ts'
import { randomFor } from './random.ts'
import { displayed, rounded } from './rounding.ts'
import type { Site } from './site.ts'
import { SITES } from './site-list.ts'
import { crewOn, workingDay } from './visit.ts'

const SPACINGS_M = [1, 1.5, 2, 3, 4, 6, 8, 12]
const IMAGES = 60

/** Apparent resistivity of two layers under four stakes in line, ohm-metre: the image series (IEEE 81, Sunde). */
function apparentOhmM(spacingM: number, soil: Soil): number {
  const k = (soil.lowerOhmM - soil.upperOhmM) / (soil.lowerOhmM + soil.upperOhmM)
  let sum = 0
  let kn = 1
  for (let n = 1; n <= IMAGES; n++) {
    kn *= k
    const q = (2 * n * soil.depthM) / spacingM
    sum += kn * (1 / Math.sqrt(1 + q * q) - 1 / Math.sqrt(4 + q * q))
  }
  return soil.upperOhmM * (1 + 4 * sum)
}

/** Resistance between the inner stakes, ohm, for stakes of that depth (full Wenner formula, turned round). */
function wennerOhm(spacingM: number, depthM: number, soil: Soil): number {
  const a2 = spacingM * spacingM
  const b2 = depthM * depthM
  const shape = 1 + (2 * spacingM) / Math.sqrt(a2 + 4 * b2) - spacingM / Math.sqrt(a2 + b2)
  return (apparentOhmM(spacingM, soil) * shape) / (4 * Math.PI * spacingM)
}

function soilSurvey(site: Site, from: string): Draft {
  const random = randomFor('soil', site.siteId, from)
  const day = workingDay(monthStart(from, 0) + random.whole(3, 24), 0)
  const crew = crewOn(site, day)
  const gain = gainOf(crew.instrumentId, day)
  return {
    day,
    minute: 9 * 60 + 40,
    offset: site.offset,
    dialect: 'long',
    planted: [],
    survey: {
      siteId: site.siteId,
      method: 'four-point',
      purpose: 'investigation',
      outcome: 'tested',
      measuredAs: 'not-known',
      instrumentId: crew.instrumentId,
      tester: crew.tester,
      secondPerson: crew.secondPerson,
      lineDirection: random.pick(['bearing 020', 'bearing 110', 'along the north fence']),
      soilState: 'moist',
      readings: SPACINGS_M.map((probeSpacingM) => {
        const probeDepthM = rounded(Math.min(0.3, probeSpacingM / 10), 2)
        const resistanceOhm = displayed(
          wennerOhm(probeSpacingM, probeDepthM, site.soil) * gain * (1 + 0.015 * random.normal()),
        )
        return { probeSpacingM, probeDepthM, resistanceOhm, condition: 'ok' }
      }),
    },
  }
}

/** Twice a year on a known resistor from 2020 on; the instrument that went off was checked late, and it shows. */
function resistorChecks(): Draft[] {
  const testers = INSTRUMENTS.filter(({ instrumentId }) => instrumentId.startsWith('DEMO-M'))
  return testers.flatMap(({ instrumentId }) => {
    const days = Array.from({ length: 14 }, (_, i) => workingDay(monthStart('2020-01', i * 6) + 11, 0))
    if (instrumentId === GONE_OFF.instrumentId) days.push(dayOf('2023-11-20'), dayOf('2024-02-12'))
    return days.filter((day) => day <= dayOf('2026-10-31')).map((day) => resistorCheck(instrumentId, day))
  })
}

function resistorCheck(instrumentId: string, day: number): Draft {
  const random = randomFor('check', instrumentId, day)
  const knownOhm = random.pick([1, 10, 10, 25])
  const resistanceOhm = displayed(knownOhm * gainOf(instrumentId, day) * (1 + 0.002 * random.normal()))
  const draft: Draft = {
    day,
    minute: 7 * 60 + 45,
    offset: 'Z',
    dialect: 'long',
    trueOhm: knownOhm,
    planted: [],
    survey: {
      method: 'check-resistor',
      outcome: 'tested',
      measuredAs: 'not-known',
      instrumentId,
      knownOhm,
      tester: 'Stores, Ansa Q.',
      readings: [{ resistanceOhm, condition: 'ok' }],
    },
  }
  return { ...draft, planted: instrumentLabels(draft) }
}

const BONDS = [
  { electrodeId: 'DEMO-ARN-01', fromPoint: 'main earth bar', toPoint: 'cable tray east', ohm: 0.02 },
  {
    electrodeId: 'DEMO-DUN-01',
    fromPoint: 'test link',
    toPoint: 'tank 3 shell',
    ohm: 0.03,
    looseFrom: '2024-06-01',
  },
  { electrodeId: 'DEMO-HAT-13', fromPoint: 'neutral bar', toPoint: 'earth bar', ohm: 0.02 },
] as const

/** Bonds, point to point, every other year; one works loose. */
function bondTests(): Draft[] {
  return BONDS.flatMap((bond) => {
    const site = SITES.find(({ letters }) => letters === bond.electrodeId.slice(5, 8))!
    return [2017, 2019, 2021, 2023, 2025].map((year): Draft => {
      const random = randomFor('bond', bond.electrodeId, year)
      const day = workingDay(monthStart(`${year}-06`, 0) + random.whole(2, 20), 0)
      const isLoose = 'looseFrom' in bond && day >= dayOf(bond.looseFrom)
      const trueOhm = isLoose ? 0.34 : bond.ohm
      const leadResistanceOhm = rounded(random.between(0.2, 0.3), 2)
      return {
        day,
        minute: 13 * 60 + 20,
        offset: site.offset,
        dialect: 'long',
        trueOhm,
        planted: isLoose ? [{ kind: 'loose-bond', detail: `${bond.fromPoint} to ${bond.toPoint}` }] : [],
        survey: {
          electrodeId: bond.electrodeId,
          method: 'two-point',
          purpose: 'periodic',
          outcome: 'tested',
          measuredAs: 'not-known',
          fromPoint: bond.fromPoint,
          toPoint: bond.toPoint,
          leadResistanceOhm,
          instrumentId: 'DEMO-B1',
          tester: crewOn(site, day).tester,
          visual: isLoose ? 'loose' : 'good',
          readings: [{ resistanceOhm: rounded(trueOhm + leadResistanceOhm, 2), condition: 'ok' }],
        },
      }
    })
  })
}

/** All of them, in order of date. They go into the long file: the wide form has no place for them. */
export function extraDrafts(): Draft[] {
  const soil = SITES.flatMap((site) => [
    soilSurvey(site, '2017-01'),
    ...(site.dialect === 'long' ? [soilSurvey(site, '2022-05')] : []),
  ])
  return [...soil, ...resistorChecks(), ...bondTests()].toSorted(inOrder)
}
