import { type ElectrodeShape, genericShape } from '../earth/electrode-shape.ts'
import { fallTermPerM } from '../earth/fall-of-potential.ts'
import { fitFallOfPotential } from '../earth/linear-fit.ts'
import { slopeMethod } from '../earth/slope-method.ts'
import { DEFAULTS } from './defaults.ts'
import type { UncertaintyPart } from './evaluation.ts'
import { type Explanation, explainLine, isSlip } from './explain-line.ts'
import { instrumentParts } from './instrument.ts'
import { type Line, type LineReading, onPlateau, plateauReadings } from './prepare-line.ts'
import { soilsFor } from './soils-for.ts'
import { thinned } from './thinned.ts'

export interface LineEstimate {
  resistanceOhm: number
  resultBy: 'model-average'
  meanOhm: number
  fitOhm: number | null
  slopeOhm: number | null
  /** Relative noise of one reading that the readings themselves show. */
  noise: number
  /** Belief left in uniform soil, 0 to 1. */
  uniformShare: number
  /** (max − min) of the readings at 52 to 72 % about the most probable curve, less two digits, in % of R: what no curve explains. */
  scatterPercent: number
  /** How much the result differs from the plain mean because of the recorded angle, %. */
  angleCorrectionPercent: number
  /** Everything that may have happened, most probable first. */
  explanations: Explanation[]
  parts: UncertaintyPart[]
}

/** An angle is written down as judged by eye: with k = 2 half of what it corrects is doubted. Common practice, no source. */
const ANGLE_SHARE = 0.25

/** Effective resistance of a line with one usable reading or more; null with none, or when all are zero. */
export function estimateLine(line: Line): LineEstimate | null {
  const central = centralReadings(line)
  if (central.length === 0) return null
  const meanOhm = central.reduce((sum, reading) => sum + reading.resistanceOhm, 0) / central.length
  const typicalOhm = median(central.map((reading) => reading.resistanceOhm)) || meanOhm
  if (!(typicalOhm > 0)) return null
  const readings = thinned(line.readings)
  const shape = line.shape ?? genericShape(line.currentProbeM)
  const explanations = explainLine(
    {
      value: timesTypical(readings, typicalOhm),
      stepVariance: (line.accuracy.stepOhm / typicalOhm) ** 2 / 12,
      lnTypicalOhm: Math.log(typicalOhm),
    },
    {
      potentialProbeM: readings.map((reading) => reading.potentialProbeM),
      currentProbeM: line.currentProbeM,
      angleDeg: line.angleDeg,
      origins: originsFor(line, shape),
    },
    shape,
    soilsFor(readings.length, line.siteSoil),
    line.angleRecorded,
  )
  if (explanations.length === 0) return null
  const result = combine(explanations)
  const resistanceOhm = result.value * typicalOhm
  if (!Number.isFinite(resistanceOhm)) return null
  const angleCorrectionOhm = line.angleRecorded && line.angleDeg > 0 ? Math.abs(resistanceOhm - meanOhm) : 0
  return {
    resistanceOhm,
    resultBy: 'model-average',
    meanOhm,
    fitOhm: linearFitOhm(line),
    slopeOhm: slopeOhm(line),
    noise: result.noise,
    uniformShare: explanations[0]!.found.uniformShare,
    scatterPercent: scatterPercent(line, readings, explanations),
    angleCorrectionPercent: meanOhm > 0 ? (100 * angleCorrectionOhm) / meanOhm : 0,
    explanations,
    parts: [
      ...instrumentParts(line.accuracy, resistanceOhm),
      { name: 'repeatability, stakes and display', standardOhm: result.within * typicalOhm },
      { name: 'soil, position and model', standardOhm: result.between * typicalOhm },
      ...(angleCorrectionOhm > 0
        ? [{ name: 'angle between the leads', standardOhm: ANGLE_SHARE * angleCorrectionOhm }]
        : []),
    ],
  }
}

function timesTypical(readings: readonly LineReading[], typicalOhm: number): Float64Array {
  const times = new Float64Array(readings.length)
  for (const [i, reading] of readings.entries()) times[i] = reading.resistanceOhm / typicalOhm
  return times
}

/** Where a record says from where the tape was laid, only that origin is tried. */
function originsFor(line: Line, shape: ElectrodeShape): ElectrodeShape['origins'] {
  if (line.distanceFrom === undefined || line.distanceFrom === 'connection-point') return shape.origins
  const offsetM =
    line.distanceFrom === 'centre' ? 0 : Math.max(...shape.origins.map((origin) => origin.offsetM))
  return [{ offsetM, weight: 1 }]
}

/**
 * The result under what is believed to have happened. A survey that is taken as recorded is read as recorded; an angle that is suspected
 * widens the doubt; where one reading is bad or two are exchanged, the line is read without the slip.
 */
function combine(explanations: readonly Explanation[]) {
  const leading = explanations[0]!
  const angles = explanations.filter((one) => one.kind === 'other-angle')
  const asRecorded = explanations.filter((one) => one.kind === 'as-recorded')
  const suspected = angles.reduce((sum, one) => sum + one.probability, 0) >= DEFAULTS.angleFrom
  const slip = isSlip(leading)
  const pool = slip ? [leading] : suspected ? [...asRecorded, ...angles] : asRecorded
  const total = pool.reduce((sum, one) => sum + one.probability, 0)
  let value = 0
  let within = 0
  let noise = 0
  for (const { probability, found } of pool) {
    value += (probability / total) * found.value
    within += (probability / total) * found.within ** 2
    noise += (probability / total) * found.noise
  }
  const between = pool.reduce(
    (sum, { probability, found }) =>
      sum + (probability / total) * (found.between ** 2 + (found.value - value) ** 2),
    0,
  )
  return { value, within: Math.sqrt(within), between: Math.sqrt(between), noise }
}

function scatterPercent(
  line: Line,
  readings: readonly LineReading[],
  explanations: readonly Explanation[],
): number {
  const found = explanations.find((one) => one.kind === 'as-recorded')?.found
  if (!found || !(found.value > 0)) return 0
  let low = Number.POSITIVE_INFINITY
  let high = Number.NEGATIVE_INFINITY
  let typicalOhm = 0
  readings.forEach((reading, i) => {
    if (!onPlateau(reading)) return
    const off = found.residuals[i] ?? 0
    low = Math.min(low, off)
    high = Math.max(high, off)
    typicalOhm = Math.max(typicalOhm, reading.resistanceOhm)
  })
  if (!(high > low) || !(typicalOhm > 0)) return 0
  return (100 * Math.max(0, high - low - (2 * line.accuracy.stepOhm) / typicalOhm)) / found.value
}

function centralReadings(line: Line): LineReading[] {
  const plateau = plateauReadings(line)
  if (plateau.length > 0) return plateau
  return [...line.readings].sort((a, b) => Math.abs(a.p - 0.618) - Math.abs(b.p - 0.618)).slice(0, 3)
}

/** The uniform-soil fit that a person can repeat by hand, over the middle of the line. */
function linearFitOhm(line: Line): number | null {
  // Near either stake the point-source form no longer holds.
  const middle = line.readings.filter((reading) => reading.p >= 0.28 && reading.p <= 0.82)
  const fitted = middle.length >= 3 ? middle : line.readings
  const fit = fitFallOfPotential(
    fitted.map(({ potentialProbeM, resistanceOhm }) => ({
      fallPerM: fallTermPerM(potentialProbeM, line.currentProbeM, line.angleDeg),
      resistanceOhm,
    })),
  )
  return fit?.resistanceOhm ?? null
}

function slopeOhm(line: Line): number | null {
  const at = (p: number) => line.readings.find((reading) => Math.abs(reading.p - p) < 0.01)?.resistanceOhm
  const [r20, r40, r60] = [at(0.2), at(0.4), at(0.6)]
  if (r20 === undefined || r40 === undefined || r60 === undefined || line.angleDeg > 0) return null
  return slopeMethod(r20, r40, r60)?.resistanceOhm ?? null
}

function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b)
  return sorted[sorted.length >> 1] ?? 0
}
