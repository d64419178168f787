import { fallTermPerM } from '../earth/fall-of-potential.ts'
import { fitFallOfPotential } from '../earth/linear-fit.ts'
import { slopeMethod } from '../earth/slope-method.ts'
import type { UncertaintyPart } from './evaluation.ts'
import { instrumentParts } from './instrument.ts'
import { type Line, type LineReading, plateauReadings } from './prepare-line.ts'

export interface LineEstimate {
  resistanceOhm: number
  resultBy: 'linear-fit' | 'mean-of-readings' | 'slope-method'
  meanOhm: number
  fitOhm: number | null
  slopeOhm: number | null
  /** How much the result differs from the plain mean because of the recorded angle, %. */
  angleCorrectionPercent: number
  parts: UncertaintyPart[]
}

/** Effective resistance of a line with one usable reading or more; null with none. */
export function estimateLine(line: Line): LineEstimate | null {
  const central = central3(line)
  if (central.length === 0) return null
  const meanOhm = central.reduce((sum, reading) => sum + reading.resistanceOhm, 0) / central.length
  // Near either stake the point-source form no longer holds, so the fit keeps to the middle of the line.
  const middle = line.readings.filter((reading) => reading.p >= 0.28 && reading.p <= 0.82)
  const fitted = middle.length >= 3 ? middle : line.readings
  const fall = (reading: LineReading) =>
    fallTermPerM(reading.potentialProbeM, line.currentProbeM, line.angleDeg)
  const fit = fitFallOfPotential(
    fitted.map((reading) => ({ fallPerM: fall(reading), resistanceOhm: reading.resistanceOhm })),
  )
  const slopeOhm = slopeFrom(line)
  const meanFall = central.reduce((sum, reading) => sum + fall(reading), 0) / central.length
  const fitServes = fit !== null && fitted.length >= 3 && fit.resistanceOhm > 0 && line.angleDeg < 29
  const corrected =
    line.hemisphereM === null ? meanOhm : meanOhm / Math.max(0.3, 1 - line.hemisphereM * meanFall)
  const resistanceOhm = fitServes ? fit.resistanceOhm : corrected
  const noiseOhm = Math.max(fit?.residualOhm ?? 0, 0.003 * meanOhm)
  const parts = instrumentParts(line.accuracy, resistanceOhm)
  parts.push({
    name: 'repeatability of the readings',
    standardOhm: noiseOhm * (fitServes ? fit.resistanceGain : 1 / Math.sqrt(central.length)),
  })
  parts.push({
    name: 'position and model',
    standardOhm: Math.abs(resistanceOhm - meanOhm) / 2 + 0.005 * resistanceOhm,
  })
  return {
    resistanceOhm,
    resultBy: fitServes ? 'linear-fit' : 'mean-of-readings',
    meanOhm,
    fitOhm: fit && Number.isFinite(fit.resistanceOhm) ? fit.resistanceOhm : null,
    slopeOhm,
    angleCorrectionPercent:
      line.angleDeg > 0 && meanOhm > 0 ? 100 * Math.abs(resistanceOhm / meanOhm - 1) : 0,
    parts,
  }
}

function central3(line: Line): LineReading[] {
  const plateau = plateauReadings(line)
  if (plateau.length > 0) return plateau
  return [...line.readings].sort((a, b) => Math.abs(a.p - 0.618) - Math.abs(b.p - 0.618)).slice(0, 3)
}

function slopeFrom(line: Line): number | null {
  const at = (p: number) => line.readings.find((reading) => Math.abs(reading.p - p) < 0.01)?.resistanceOhm
  const [r20, r40, r60] = [at(0.2), at(0.4), at(0.6)]
  if (r20 === undefined || r40 === undefined || r60 === undefined || line.angleDeg > 0) return null
  return slopeMethod(r20, r40, r60)?.resistanceOhm ?? null
}
