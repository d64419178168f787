import { seeded } from '../../sample-data/make/random.ts'
import { solveField } from '../../shared-lib/earth/field/field.ts'
import { segmentsOf } from '../../shared-lib/earth/field/segments.ts'
import type { Calibration, Electrode } from '../../shared-lib/survey/register.ts'
import type { Reading, Survey } from '../../shared-lib/survey/survey.ts'

/** Surveys with known truth by the field calculation: invented electrodes in invented soils, with faults planted in some. */

export interface SimulatedSurvey {
  survey: Survey
  electrode: Electrode
  calibration: Calibration
  truth: {
    ref: string
    kind: string
    full: boolean
    fault: string | null
    layout: string | null
    fine: boolean
    layered: boolean
    k: number
    noise: number
    D: number
    size: number
    R: number
    mean3: number | null
    /** What an instrument without error would have read at the places as recorded, and the soil: for comparing with what nobody knows. */
    exactOhm: number[]
    soil: { upperOhmM: number; contrast: number; depthM: number }
    offsetM: number
    angleDeg: number
  }
}

const FINE: Calibration = {
  instrumentId: 'FINE',
  calibratedOn: '2025-12-01',
  calibrationDueOn: '2026-12-01',
  accuracyPercent: 0.5,
  accuracyDigits: 1,
  resolutionOhm: 0.01,
}
const PLAIN: Calibration = { ...FINE, instrumentId: 'PLAIN', accuracyPercent: 2, accuracyDigits: 3 }

/** What kind of world the surveys are made in. */
export interface SimulatedWorld {
  /**
   * Readings that differ by less than this share of the resistance are not exchanged: among noise of 2 % a smaller exchange cannot be told
   * from a sound survey (at 4 % one in seven goes unseen when one sound survey in a hundred is doubted).
   */
  leastSwap: number
  /** How many stand over two layers; the rest in uniform soil. */
  layeredShare: number
  /** Range of the upper layer's resistivity, evenly spread in its logarithm. */
  upperOhmM: readonly [least: number, most: number]
  anglesDeg: readonly number[]
  gridSidesM: readonly number[]
  leastOhm: number
}

/** Harder for the judge than most operators' ground: more than half of it layered. */
export const LAYERED_WORLD: SimulatedWorld = {
  leastSwap: 0.08,
  layeredShare: 0.55,
  upperOhmM: [20, 600],
  anglesDeg: [60, 90, 120, 180],
  gridSidesM: [8, 12, 16, 20, 25, 32],
  leastOhm: 0.1,
}

/** A third of the ground layered, from marsh to gravel, smaller angles, larger grids, and earths down to two digits of the display. */
export const WIDE_WORLD: SimulatedWorld = {
  leastSwap: 0.08,
  layeredShare: 0.33,
  upperOhmM: [5, 1300],
  anglesDeg: [25, 35, 50, 65, 90],
  gridSidesM: [8, 12, 16, 20, 30, 45],
  leastOhm: 0.02,
}

/** The same seed gives the same surveys. */
export function* simulateSurveys(
  seed: number,
  count: number,
  world = LAYERED_WORLD,
): Generator<SimulatedSurvey> {
  const { leastSwap, layeredShare, upperOhmM, anglesDeg, gridSidesM, leastOhm } = world
  const random = seeded(seed)
  const pick = <T>(list: readonly T[]): T => list[Math.floor(random() * list.length)]!
  const between = (low: number, high: number) => low + (high - low) * random()
  const logBetween = (low: number, high: number) => Math.exp(between(Math.log(low), Math.log(high)))
  const normal = () => Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random())
  for (let made = 0; made < count; ) {
    const electrode = someElectrode(`SIM-${made}`, random, gridSidesM)
    const layered = random() < layeredShare
    const k = layered ? pick([-0.9, -0.6, -0.3, 0.3, 0.6, 0.9]) : 0
    const soil = { upperOhmM: logBetween(...upperOhmM), contrast: k, depthM: logBetween(0.6, 10) }
    const segments = segmentsOf(electrode)
    const field = segments && solveField(segments, soil)
    if (!field || field.resistanceOhm < leastOhm || field.resistanceOhm > 3000) continue
    const R = field.resistanceOhm
    const size =
      electrode.kind === 'rod' || electrode.kind === 'wire' ? electrode.lengthM! : electrode.diagonalM!
    const full = random() < 0.55
    const dice = random()
    const fault =
      dice < 0.6
        ? null
        : pick(
            full
              ? ['one-bad', 'swapped', 'too-close', 'angle-unrecorded', 'angle-unrecorded']
              : ['one-bad', 'swapped', 'too-close'],
          )
    const layout = fault ? null : dice < 0.12 ? 'grey-distance' : dice < 0.22 ? 'angle-recorded' : null
    const times =
      fault === 'too-close' ? between(1.3, 2.2) : layout === 'grey-distance' ? between(3, 8) : between(8, 20)
    const D = times * size
    const angle = fault === 'angle-unrecorded' || layout === 'angle-recorded' ? pick(anglesDeg) : 0
    const noise = pick([0.003, 0.006, 0.01, 0.02])
    // Rods and wires from the middle; groups and grids from the edge in two cases of three.
    const side = electrode.kind === 'grid' ? size / Math.SQRT2 / 2 : size / 2
    const offset = electrode.kind === 'rod' || electrode.kind === 'wire' || random() < 0.33 ? 0 : side
    const turn = (angle * Math.PI) / 180
    const at = (distance: number, direction: number) => ({
      x: (distance + offset) * Math.cos(direction),
      y: (distance + offset) * Math.sin(direction),
    })
    const currentProbe = at(D + 0.1 * normal(), 0)
    const fractions = full ? [0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9] : [0.52, 0.62, 0.72]
    const fine = random() < 0.5
    // The instrument is somewhere within its stated limits, the same for all its readings.
    const gain = 1 + ((fine ? 0.5 : 2) / 100) * between(-1, 1)
    const values = fractions.map((p) => {
      const exact = field.readingOhm(currentProbe, at(Math.max(0.2, p * D + 0.1 * normal()), turn))
      return Math.max(0, Math.round(100 * exact * gain * (1 + noise * normal())) / 100)
    })
    const exactOhm = fractions.map((p) => field.readingOhm(at(D, 0), at(p * D, turn)))
    const mean3 = full ? null : values.reduce((sum, value) => sum + value, 0) / 3
    if (fault === 'one-bad')
      values[Math.floor(random() * values.length)]! *= random() < 0.5 ? between(0.4, 0.8) : between(1.25, 2.5)
    if (fault === 'swapped') {
      const pairs = values.flatMap((one, i) =>
        values.flatMap((other, j) =>
          j > i && Math.abs(one - other) > leastSwap * R ? [[i, j] as const] : [],
        ),
      )
      // A swap that nobody could see is no fault.
      if (pairs.length === 0) continue
      const [i, j] = pick(pairs)
      ;[values[i], values[j]] = [values[j]!, values[i]!]
    }
    const survey: Survey = {
      surveyRef: `SIM-${made}`,
      electrodeId: electrode.electrodeId,
      testedAt: '2026-03-01T10:00:00Z',
      method: 'fall-of-potential',
      outcome: 'tested',
      measuredAs: 'electrode-alone',
      currentProbeM: Math.round(100 * D) / 100,
      instrumentId: fine ? 'FINE' : 'PLAIN',
      ...(layout === 'angle-recorded' && { leadAngleDeg: angle }),
      readings: values.map(
        (resistanceOhm, i): Reading => ({
          condition: 'ok',
          potentialProbeM: Math.round(1000 * fractions[i]! * D) / 1000,
          resistanceOhm: Math.round(100 * resistanceOhm) / 100,
        }),
      ),
    }
    yield {
      survey,
      electrode,
      calibration: fine ? FINE : PLAIN,
      truth: {
        ref: survey.surveyRef,
        kind: electrode.kind,
        full,
        fault,
        layout,
        fine,
        layered,
        k,
        noise,
        D,
        size,
        R,
        mean3,
        exactOhm,
        soil,
        offsetM: offset,
        angleDeg: angle,
      },
    }
    made++
  }
}

function someElectrode(electrodeId: string, random: () => number, gridSidesM: readonly number[]): Electrode {
  const pick = <T>(list: readonly T[]): T => list[Math.floor(random() * list.length)]!
  const base = { electrodeId, siteId: 'SIM', limitOhm: 25 }
  const dice = random()
  if (dice < 0.45)
    return {
      ...base,
      kind: 'rod',
      lengthM: pick([1.2, 1.8, 2.4, 3, 4.5, 6]),
      diameterMm: pick([12.7, 14.2, 16, 19]),
    }
  if (dice < 0.6) {
    const lengthM = pick([1.8, 2.4, 3])
    const count = pick([2, 3, 4])
    const spacingM = lengthM * pick([1, 2])
    return {
      ...base,
      kind: 'rod-group',
      lengthM,
      diameterMm: 16,
      count,
      spacingM,
      diagonalM: (count - 1) * spacingM,
    }
  }
  if (dice < 0.72)
    return { ...base, kind: 'wire', lengthM: pick([5, 10, 20, 30]), diameterMm: 10, burialDepthM: 0.5 }
  const side = pick(gridSidesM)
  return {
    ...base,
    kind: 'grid',
    areaM2: side ** 2,
    diagonalM: side * Math.SQRT2,
    diameterMm: 10,
    burialDepthM: 0.5,
  }
}
