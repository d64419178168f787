import type { Random } from '../../../sample-data/make/random.ts'
import { expectedResistance } from '../../../shared-lib/earth/electrode-resistance.ts'
import type { Electrode } from '../../../shared-lib/survey/register.ts'
import type { FleetSetting } from './setting.ts'

/** What is true of one electrode and stands in no register. */
export interface TrueElectrode {
  register: Electrode
  /** ln R in usual soil, sound. */
  level: number
  /** Share of its resistance that the deep soil makes, and what it adds to its neighbours' movement. */
  deepShare: number
  follow: number
  frostShare: number
  /** Hemisphere radius over current-probe distance, as the curve shows it. */
  bend: number
  currentProbeM: number
  /** Reads the full curve rather than three positions. */
  fullCurve: boolean
}

/** An electrode of a site whose soil has `soilOhmM`; formula and truth differ as ground does. */
export function makeElectrode(
  id: string,
  siteId: string,
  soilOhmM: number,
  fullCurve: boolean,
  setting: FleetSetting,
  random: Random,
): TrueElectrode {
  const register: Electrode = {
    electrodeId: id,
    siteId,
    ...sizeOf(random),
    limitOhm: random.pick([5, 10, 25, 100]),
  }
  const expected = expectedResistance(register, 1)
  if (!expected) throw new Error(`no formula for ${register.kind}`)
  const perOhmM = expected.resistanceOhm
  const radiusM = 1 / (2 * Math.PI * perOhmM)
  const depthM = register.lengthM ?? 1
  const deepShare = Math.min(0.9, Math.max(0.1, 0.25 + 0.12 * depthM + 0.12 * random.normal()))
  const currentProbeM = Math.max(15, 5 * Math.ceil((radiusM * random.between(28, 70)) / 5))
  return {
    register,
    level: Math.log(perOhmM * soilOhmM) + 0.36 * random.normal(),
    deepShare,
    follow: Math.max(0.2, 1 + setting.followSd * random.normal()),
    frostShare: (1 - deepShare) * random.between(0.1, 0.7),
    bend: (radiusM / currentProbeM) * Math.exp(0.28 * random.normal()),
    currentProbeM,
    fullCurve,
  }
}

function sizeOf(random: Random): Pick<Electrode, 'kind'> & Partial<Electrode> {
  const one = (x: number) => Math.round(x * 10) / 10
  switch (random.pick(['rod', 'rod', 'rod', 'rod-group', 'ring', 'wire', 'grid'] as const)) {
    case 'rod':
      return { kind: 'rod', lengthM: random.pick([1.5, 2.4, 3, 6]), diameterMm: 16 }
    case 'rod-group':
      return { kind: 'rod-group', lengthM: 2.4, diameterMm: 16, count: random.whole(2, 6), spacingM: 3 }
    case 'ring':
      return { kind: 'ring', diagonalM: one(random.between(4, 18)), diameterMm: 10, burialDepthM: 0.6 }
    case 'wire':
      return { kind: 'wire', lengthM: one(random.between(8, 40)), diameterMm: 8, burialDepthM: 0.6 }
    default: {
      const areaM2 = Math.round(random.between(40, 600))
      return {
        kind: 'grid',
        areaM2,
        diagonalM: one(Math.sqrt(2 * areaM2)),
        diameterMm: 10,
        burialDepthM: 0.6,
      }
    }
  }
}
