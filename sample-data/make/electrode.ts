/** The register's rows, each with what is true of the electrode and nobody in the story knows. */
import type { Electrode, ElectrodeKind } from '../../shared-lib/survey/register.ts'
import { dayOf } from './day.ts'
import { sizeOf } from './electrode-kinds.ts'
import { longestM, resistancePerOhmM } from './electrode-size.ts'
import { basisFor, limitFor } from './limit.ts'
import { type Random, randomFor } from './random.ts'
import type { Site } from './site.ts'
import { type Practice, SPECIALS } from './special.ts'

export interface DemoElectrode {
  site: Site
  register: Electrode
  practice: Practice
  /** Longest dimension, m. */
  longestM: number
  /** Level around which season, weather and damage move it, ohm. */
  levelOhm: number
  /** Radius of the hemisphere in the upper layer that falls off alike, m. */
  hemisphereM: number
  /** How strongly the site's season moves it; 1 is the site's own movement. */
  loading: number
  installedDay: number
}

const BEFORE_HISTORY = [
  '1998-05-11',
  '2003-09-22',
  '2007-04-17',
  '2009-10-06',
  '2012-06-19',
  '2014-08-27',
  '2015-10-13',
]

/** Soil that decides: the upper layer for a shallow electrode, more and more the lower one for a deep or wide one. */
function effectiveSoilOhmM(site: Site, reachM: number): number {
  const upperShare = site.soil.depthM / (site.soil.depthM + reachM)
  return Math.exp(
    upperShare * Math.log(site.soil.upperOhmM) + (1 - upperShare) * Math.log(site.soil.lowerOhmM),
  )
}

function loadingOf(of: Electrode, random: Random): number {
  const byKind: Record<ElectrodeKind, number> = {
    rod: (of.lengthM ?? 3) >= 4.8 ? 0.6 : 0.95,
    'rod-group': 0.9,
    ring: 1.2,
    grid: 1,
    plate: 1,
    foundation: 0.8,
    wire: 1.3,
    'tower-footing': 0.9,
    other: 0.5,
  }
  return byKind[of.kind] * random.between(0.88, 1.12)
}

function reachOf(of: Electrode): number {
  if (of.kind === 'rod' || of.kind === 'other' || of.kind === 'plate') return (of.lengthM ?? 1.2) / 2
  return longestM(of) / 3
}

/** What comes next to the bare numbers: how far the lead goes, multiples of the size that are common practice. */
function usualProbeM(of: Electrode, site: Site, practice: Practice): number {
  const size = longestM(of)
  const isRod = of.kind === 'rod' || of.kind === 'other'
  const times = practice === 'slope' ? 4 : of.kind === 'tower-footing' ? 12 : isRod ? 10 : 8
  const wantedM = Math.max(size * times, of.kind === 'plate' ? 30 : 15)
  if (site.dialect !== 'semicolon') return Math.ceil(wantedM / 5) * 5
  return (Math.ceil(wantedM / 0.3048 / 25) * 25 * 3048) / 10000
}

function practiceOf(of: ElectrodeKind, number: number): Practice {
  if (of === 'grid') return 'slope'
  return number % 4 === 2 ? 'full' : 'short'
}

function electrode(site: Site, kind: ElectrodeKind, number: number): DemoElectrode {
  const electrodeId = `DEMO-${site.letters}-${String(number).padStart(2, '0')}`
  const random = randomFor('electrode', electrodeId)
  const special = SPECIALS[electrodeId] ?? {}
  const size: Electrode = {
    electrodeId,
    siteId: site.siteId,
    kind,
    ...sizeOf(kind, random, site.siteId === 'DEMO-ARNVEY'),
    ...special.size,
  }
  const levelOhm =
    resistancePerOhmM(size) * effectiveSoilOhmM(site, reachOf(size)) * Math.exp(0.15 * random.normal())
  const practice = special.practice ?? practiceOf(kind, number)
  const canBeIsolated = special.canBeIsolated ?? (number % 5 === 3 ? 'outage-only' : 'yes')
  const wide = site.visitMonths === 6 && number % 9 === 7
  const installedOn = special.installedOn ?? random.pick(BEFORE_HISTORY)
  const engineer = site.letters.toLowerCase()
  const register: Electrode = {
    ...size,
    installedOn,
    limitOhm: special.limitOhm ?? limitFor(levelOhm),
    limitBasis: basisFor(kind),
    responsibleEmail: `earths.${engineer}@example.org`,
    deputyEmail: `deputy.${engineer}@example.org`,
    retestMonths: site.visitMonths * (wide ? 2 : 1),
    retestPolicy:
      site.visitMonths === 5 ? 'rotating' : site.climate === 'dry' ? 'worst-season' : 'same-month',
    canBeIsolated,
    tag: `${site.letters} ${100 + number}`,
    locationText: locationOf(kind, site, random),
    usualLine: random.pick([
      'bearing 040 along the fence',
      'bearing 130 to the lone post',
      'bearing 215 down the slope',
      'bearing 300 over the meadow',
      'square to the cable trench',
    ]),
    usualCurrentProbeM: special.usualCurrentProbeM ?? usualProbeM(size, site, practice),
    latitude: Number((site.latitude + 0.0012 * number).toFixed(4)),
    longitude: Number((site.longitude + 0.0009 * (number % 4)).toFixed(4)),
    ...(site.timeZone ? { timeZone: site.timeZone } : {}),
    ...special.words,
  }
  return {
    site,
    register,
    practice,
    levelOhm,
    longestM: longestM(size),
    hemisphereM: site.soil.upperOhmM / (2 * Math.PI * levelOhm),
    loading: loadingOf(size, random),
    installedDay: dayOf(installedOn),
  }
}

function locationOf(kind: ElectrodeKind, site: Site, random: Random): string {
  const where = random.pick([
    'north gate',
    'behind the store',
    'by the cable pit',
    'at the foot of the stair',
    'beside the transformer plinth',
    'west corner',
    'under the marker plate',
  ])
  return `${site.place}, ${kind === 'tower-footing' ? 'support ' : ''}${where}`
}

/** Every electrode of a site, numbered from 1 in the order of the plot. */
export function electrodesOf(site: Site): DemoElectrode[] {
  const kinds = site.plot.flatMap(([kind, n]) => Array.from({ length: n }, () => kind))
  return kinds.map((kind, i) => electrode(site, kind, i + 1))
}
