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

/** Standard uncertainties of a reading of `valueOhm`: the stated limits taken as rectangular (JCGM 100, 4.3.7), and the display's rounding. */
export function instrumentParts(accuracy: Accuracy, valueOhm: number): UncertaintyPart[] {
  const limitOhm = (accuracy.percent / 100) * Math.abs(valueOhm) + accuracy.digits * accuracy.stepOhm
  return [
    {
      name: accuracy.known ? 'instrument' : 'instrument (not known: 5 % and 3 digits)',
      standardOhm: limitOhm / Math.sqrt(3),
    },
    { name: 'display step', standardOhm: accuracy.stepOhm / Math.sqrt(12) },
  ]
}

/** 0.001 to 10 ohm: the finest decimal place that any reading uses. */
function finestStep(readingsOhm: readonly number[]): number {
  let decimals = -1
  for (const value of readingsOhm) {
    if (!Number.isFinite(value)) continue
    for (let places = 3; places > decimals; places--) {
      const scaled = value * 10 ** places
      const coarser = value * 10 ** (places - 1)
      const whole = (x: number) => Math.abs(x - Math.round(x)) < 1e-6 * Math.max(1, Math.abs(x))
      if (whole(scaled) && !whole(coarser)) decimals = Math.max(decimals, places)
    }
    if (Math.abs(value * 1000 - Math.round(value * 1000)) > 1e-6 * Math.abs(value * 1000)) decimals = 3
  }
  return decimals <= 0 ? (decimals === 0 ? 1 : 1) : 10 ** -decimals
}

function nonNegative(value: number | undefined): number | null {
  return value !== undefined && Number.isFinite(value) && value >= 0 ? value : null
}
