import type { Survey } from '../survey/survey.ts'
import { DAY_MS } from './days.ts'

/** A check of an instrument on a known resistor: what it read over what it should have, ln, with the variance of the reading alone. */
export interface ResistorCheck {
  instrumentId: string
  surveyRef: string
  day: number
  residual: number
  variance: number
}

/** A reading's own doubt beside its display step, and that of the resistor (common practice, no source). */
const READING_SD = 0.005
const RESISTOR_SD = 0.005

/** The check that a `check-resistor` survey holds; null when it is another survey or lacks the value, the reading or the instrument. */
export function resistorCheckOf(survey: Survey): ResistorCheck | null {
  const { method, knownOhm, instrumentId, readings, surveyRef, testedAt, outcome } = survey
  const day = Date.parse(testedAt) / DAY_MS
  if (method !== 'check-resistor' || outcome !== 'tested' || !instrumentId || !Number.isFinite(day))
    return null
  if (knownOhm === undefined || !(knownOhm > 0)) return null
  const ohms = readings.flatMap((r) =>
    r.condition === 'ok' && r.resistanceOhm !== undefined && r.resistanceOhm > 0 ? [r.resistanceOhm] : [],
  )
  if (ohms.length === 0) return null
  const ln = ohms.map((ohm) => Math.log(ohm / knownOhm))
  const stepOhm = knownOhm < 20 ? 0.01 : knownOhm < 200 ? 0.1 : 1
  return {
    instrumentId,
    surveyRef,
    day,
    residual: ln.reduce((a, b) => a + b, 0) / ln.length,
    variance: READING_SD ** 2 / ohms.length + RESISTOR_SD ** 2 + (stepOhm / knownOhm) ** 2 / 12,
  }
}
