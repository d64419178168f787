import type { Calibration } from '../survey/register.ts'
import { DEFAULTS } from './defaults.ts'
import type { UncertaintyPart } from './evaluation.ts'

/** What the display can be trusted for. */
export interface Accuracy {
  percent: number
  digits: number
  /** One digit of the display, ohm. */
  stepOhm: number
  /** False when nobody recorded it and the cautious default stands in. */
  known: boolean
}

/**
 * Accuracy in force: from the calibration, else 5 % and 3 digits. The display's step comes from the calibration, else from the finest
 * decimal written in the readings (a file loses trailing zeros, so one reading alone may look coarser than it was).
 */
export function accuracyOf(calibration: Calibration | undefined, readingsOhm: readonly number[]): Accuracy {
  const stated = nonNegative(calibration?.accuracyPercent)
  const digits = nonNegative(calibration?.accuracyDigits)
  const resolution = calibration?.resolutionOhm
  return {
    percent: stated ?? DEFAULTS.unknownAccuracyPercent,
    digits: digits ?? (stated === null ? DEFAULTS.unknownAccuracyDigits : 0),
    stepOhm:
      resolution !== undefined && Number.isFinite(resolution) && resolution > 0
        ? resolution
        : finestStep(readingsOhm),
    known: stated !== null,
  }
}

/**
 * Standard uncertainties of a reading of `valueOhm`: the stated limits taken as rectangular (JCGM 100, 4.3.7). The share of the value is the
 * instrument's gain and the digits are its zero and its rounding: two causes that know nothing of each other, so two contributions.
 */
export function instrumentParts(accuracy: Accuracy, valueOhm: number): UncertaintyPart[] {
  const ofValueOhm = (accuracy.percent / 100) * Math.abs(valueOhm)
  // Rounding is part of stated digits.
  const digitsOhm = accuracy.digits >= 1 ? accuracy.digits * accuracy.stepOhm : 0.5 * accuracy.stepOhm
  return [
    {
      name: accuracy.known ? 'instrument' : 'instrument (not known: 5 %)',
      standardOhm: ofValueOhm / Math.sqrt(3),
    },
    {
      name: accuracy.known ? 'digits of the display' : 'digits of the display (not known: 3)',
      standardOhm: digitsOhm / Math.sqrt(3),
    },
  ]
}

/** The finest decimal place that any reading uses, 1 down to 0.001 ohm. */
function finestStep(readingsOhm: readonly number[]): number {
  let places = 0
  for (const value of readingsOhm)
    while (places < 3 && Number.isFinite(value) && !isWhole(value * TENS[places]!)) places++
  return 1 / TENS[places]!
}

const TENS = [1, 10, 100, 1000]

const isWhole = (value: number): boolean =>
  Math.abs(value - Math.round(value)) < 1e-6 * Math.max(1, Math.abs(value) * 1e-6)

function nonNegative(value: number | undefined): number | null {
  return value !== undefined && Number.isFinite(value) && value >= 0 ? value : null
}
