import { type ElectrodeShape, electrodeShape } from '../earth/electrode-shape.ts'
import type { Electrode } from '../survey/register.ts'
import type { Reading, Survey } from '../survey/survey.ts'
import type { EvaluationContext, SiteSoil } from './evaluation.ts'
import { type Accuracy, accuracyOf } from './instrument.ts'

/** One reading that can be used. `number` counts from 1 as handed in, so that a person finds it again. */
export interface LineReading {
  number: number
  potentialProbeM: number
  /** potentialProbeM / currentProbeM. */
  p: number
  resistanceOhm: number
}

/** A fall-of-potential survey in the form the judges and the estimator share. */
export interface Line {
  currentProbeM: number
  /** 0 when not recorded. */
  angleDeg: number
  angleRecorded: boolean
  /** In order of distance. */
  readings: LineReading[]
  /** Readings the instrument could not make. */
  lost: { number: number; condition: Reading['condition'] }[]
  /** Numbers of readings whose distance or value cannot be. */
  impossible: number[]
  accuracy: Accuracy
  /** From where the distances were measured, when the record says. */
  distanceFrom?: Survey['distanceFrom']
  /** Longest dimension of the electrode, m; null when the register does not tell. */
  sizeM: number | null
  shape: ElectrodeShape | null
  /** Two layers found by a soil survey of the site. */
  siteSoil?: SiteSoil
}

const shapes = new WeakMap<Electrode, ElectrodeShape | null>()
/** By dimensions: a fleet has many electrodes of one make, and what is worked out for one of them serves all. */
const alike = new Map<string, ElectrodeShape | null>()
const MOST_ALIKE = 2000

/** The electrode's shape, worked out once for each record of the register (which nobody changes in place). */
function shapeOf(electrode: Electrode): ElectrodeShape | null {
  let shape = shapes.get(electrode)
  if (shape === undefined) {
    const { kind, lengthM, diameterMm, diagonalM, areaM2, count, spacingM, burialDepthM } = electrode
    const key = JSON.stringify([kind, lengthM, diameterMm, diagonalM, areaM2, count, spacingM, burialDepthM])
    shape = alike.get(key)
    if (shape === undefined) {
      shape = electrodeShape(electrode)
      if (alike.size >= MOST_ALIKE) alike.clear()
      alike.set(key, shape)
    }
    shapes.set(electrode, shape)
  }
  return shape
}

/** Null when the current probe's distance is missing or cannot be. Never throws. */
export function prepareLine(survey: Survey, context: EvaluationContext): Line | null {
  const currentProbeM = survey.currentProbeM
  if (currentProbeM === undefined || !(currentProbeM > 0 && currentProbeM < 1e5)) return null
  const angleRecorded = survey.leadAngleDeg !== undefined && Number.isFinite(survey.leadAngleDeg)
  const angleDeg = angleRecorded ? foldAngle(survey.leadAngleDeg!) : 0
  const readings: LineReading[] = []
  const lost: Line['lost'] = []
  const impossible: number[] = []
  let number = 0
  for (const reading of survey.readings) {
    number++
    const x = reading.potentialProbeM
    const value = reading.resistanceOhm
    if (reading.condition !== 'ok') lost.push({ number, condition: reading.condition })
    else if (
      x === undefined ||
      value === undefined ||
      !(x > 0 && x < 1e5 && value >= 0 && value < 1e12) ||
      // On a straight line the potential probe stands between electrode and current probe.
      (angleDeg === 0 && x > 0.985 * currentProbeM)
    )
      impossible.push(number)
    else readings.push({ number, potentialProbeM: x, p: x / currentProbeM, resistanceOhm: value })
  }
  // Crews write them down in order, mostly.
  if (readings.some((reading, i) => i > 0 && reading.potentialProbeM < readings[i - 1]!.potentialProbeM))
    readings.sort((a, b) => a.potentialProbeM - b.potentialProbeM || a.number - b.number)
  const shape = shapeOf(context.electrode)
  return {
    currentProbeM,
    angleDeg,
    angleRecorded,
    readings,
    lost,
    impossible,
    accuracy: accuracyOf(
      context.calibration,
      readings.map((reading) => reading.resistanceOhm),
    ),
    ...(survey.distanceFrom && { distanceFrom: survey.distanceFrom }),
    sizeM: shape?.sizeM ?? null,
    shape,
    ...(context.siteSoil && { siteSoil: context.siteSoil }),
  }
}

/** 0 to 180: a line to the left is a line to the right. */
function foldAngle(angleDeg: number): number {
  const turned = Math.abs(angleDeg) % 360
  return turned > 180 ? 360 - turned : turned
}

/** The readings that common practice averages: 52 to 72 % of the current probe's distance, with a little room for the tape. */
export function plateauReadings(line: Line): LineReading[] {
  return line.readings.filter(onPlateau)
}

export const onPlateau = ({ p }: LineReading): boolean => p > 0.51 && p < 0.73

/** (max − min)/mean of the readings at 52 to 72 %, less two digits of the display, %. Null with fewer than two or a mean of zero. */
export function spreadPercent(line: Line): number | null {
  let count = 0
  let sum = 0
  let least = Number.POSITIVE_INFINITY
  let most = Number.NEGATIVE_INFINITY
  for (const reading of line.readings) {
    if (!onPlateau(reading)) continue
    count++
    sum += reading.resistanceOhm
    least = Math.min(least, reading.resistanceOhm)
    most = Math.max(most, reading.resistanceOhm)
  }
  const mean = sum / count
  if (count < 2 || !(mean > 0)) return null
  return (100 * Math.max(0, most - least - 2 * line.accuracy.stepOhm)) / mean
}
