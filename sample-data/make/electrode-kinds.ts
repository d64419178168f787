/** Sizes a planner would choose, by kind: the numbers of the register's rows. */
import type { Electrode, ElectrodeKind } from '../../shared-lib/survey/register.ts'
import type { Random } from './random.ts'
import { rounded } from './rounding.ts'

type Size = Pick<
  Electrode,
  'lengthM' | 'diameterMm' | 'diagonalM' | 'areaM2' | 'count' | 'spacingM' | 'burialDepthM' | 'material'
>

const ROD_METALS = ['copper-bonded steel', 'galvanised steel', 'stainless steel'] as const

function rectangle(random: Random, shortest: number, longest: number): Size {
  const width = random.whole(shortest, longest)
  const length = Math.round(width * random.between(1, 1.5))
  return { areaM2: width * length, diagonalM: rounded(Math.sqrt(width * width + length * length), 1) }
}

const SIZES: Record<ElectrodeKind, (random: Random, stationSized: boolean) => Size> = {
  rod: (random) => ({
    lengthM: random.pick([2.4, 3, 3, 3.6, 4.8, 6]),
    diameterMm: random.pick([14, 16, 16, 20]),
    burialDepthM: 0.3,
    material: random.pick(ROD_METALS),
  }),
  'rod-group': (random) => {
    const count = random.whole(2, 5)
    const lengthM = random.pick([2.4, 3, 3.6])
    const spacingM = rounded(lengthM * random.pick([1, 1.5]), 1)
    return {
      lengthM,
      diameterMm: 16,
      count,
      spacingM,
      diagonalM: rounded((count - 1) * spacingM, 1),
      burialDepthM: 0.5,
      material: random.pick(ROD_METALS),
    }
  },
  ring: (random) => ({
    diagonalM: random.whole(7, 16),
    diameterMm: random.pick([8, 10]),
    burialDepthM: random.pick([0.6, 0.8]),
    material: random.pick(['bare copper', 'galvanised steel']),
  }),
  grid: (random, stationSized) => ({
    ...(stationSized ? rectangle(random, 28, 34) : rectangle(random, 12, 18)),
    diameterMm: 10,
    spacingM: stationSized ? 6 : 4,
    burialDepthM: 0.6,
    material: 'bare copper',
  }),
  plate: (random) => ({
    areaM2: random.pick([0.36, 0.81, 1]),
    burialDepthM: 1.2,
    material: random.pick(['copper', 'galvanised steel']),
  }),
  foundation: (random) => ({ ...rectangle(random, 6, 10), burialDepthM: 1.5, material: 'steel in concrete' }),
  wire: (random) => ({
    lengthM: random.pick([10, 12, 15, 20]),
    diameterMm: random.pick([8, 10]),
    burialDepthM: 0.6,
    material: random.pick(['bare copper', 'galvanised steel']),
  }),
  'tower-footing': (random) => {
    const spacingM = random.pick([5, 6, 7])
    return {
      lengthM: random.pick([2.5, 3]),
      diameterMm: 800,
      count: 4,
      spacingM,
      diagonalM: rounded(spacingM * Math.SQRT2, 1),
      material: 'steel in concrete',
    }
  },
  other: (random) => ({
    lengthM: random.pick([9, 12]),
    diameterMm: 150,
    burialDepthM: 0.5,
    material: 'steel well casing',
  }),
}

/** The size columns of one electrode. `stationSized` asks for a large grid. */
export function sizeOf(kind: ElectrodeKind, random: Random, stationSized: boolean): Size {
  return SIZES[kind](random, stationSized)
}
