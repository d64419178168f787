import type { EvaluationContext } from '../../shared-lib/evaluate/evaluation.ts'
import type { Calibration, Electrode } from '../../shared-lib/survey/register.ts'
import type { Reading, Survey } from '../../shared-lib/survey/survey.ts'

/** Builders of invented surveys for the tests of the judgement. */

export const ROD: Electrode = {
  electrodeId: 'T-1',
  siteId: 'T',
  kind: 'rod',
  lengthM: 3,
  diameterMm: 16,
  limitOhm: 25,
}

export const CALIBRATION: Calibration = {
  instrumentId: 'I-1',
  calibratedOn: '2026-01-01',
  calibrationDueOn: '2027-01-01',
  accuracyPercent: 2,
  accuracyDigits: 3,
  resolutionOhm: 0.01,
}

export const context = (change: Partial<EvaluationContext> = {}): EvaluationContext => ({
  electrode: ROD,
  limits: [],
  ...change,
})

/** A survey with readings at these percentages of the current probe's distance. */
export function lineSurvey(
  currentProbeM: number,
  ohmAtPercent: Record<number, number>,
  change: Partial<Survey> = {},
): Survey {
  const readings: Reading[] = Object.entries(ohmAtPercent).map(([percent, resistanceOhm]) => ({
    condition: 'ok',
    potentialProbeM: Math.round(Number(percent) * currentProbeM * 10) / 1000,
    resistanceOhm,
  }))
  return {
    surveyRef: 'S-1',
    electrodeId: 'T-1',
    testedAt: '2026-05-04T10:20:00+01:00',
    method: 'fall-of-potential',
    outcome: 'tested',
    measuredAs: 'electrode-alone',
    currentProbeM,
    readings,
    ...change,
  }
}

/** The short survey that everything else is compared with: sound, about 11 ohm. */
export const SOUND = lineSurvey(30, { 52: 10.9, 62: 11.0, 72: 11.2 })
