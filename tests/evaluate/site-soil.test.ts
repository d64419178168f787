import { describe, expect, it } from 'vitest'
import { solveField } from '../../shared-lib/earth/field/field.ts'
import { segmentsOf } from '../../shared-lib/earth/field/segments.ts'
import { evaluateSurvey } from '../../shared-lib/evaluate/evaluate-survey.ts'
import { soilsFor } from '../../shared-lib/evaluate/soils-for.ts'
import { CALIBRATION, context, lineSurvey, ROD } from './surveys.ts'

const OVER_ROCK = { upperOhmM: 100, lowerOhmM: 1900, depthM: 5, relativeUncertainty: 0.15 }
/** Exact readings of the 3 m rod over rock, by the field calculation. */
const field = solveField(segmentsOf(ROD)!, { upperOhmM: 100, contrast: 0.9, depthM: 5 })!
const readings = Object.fromEntries(
  [52, 62, 72].map((percent) => [
    percent,
    Math.round(100 * field.readingOhm({ x: 30, y: 0 }, { x: (percent / 100) * 30, y: 0 })) / 100,
  ]),
)
const overRock = lineSurvey(30, readings)
const codes = (siteSoil: typeof OVER_ROCK | undefined, survey = overRock) =>
  evaluateSurvey(survey, context({ calibration: CALIBRATION, ...(siteSoil && { siteSoil }) })).findings.map(
    (found) => found.code,
  )

describe('a site whose soil was measured in two layers', () => {
  it('good ground over rock reads low; the soil survey brings the result nearer to the truth', () => {
    const without = evaluateSurvey(overRock, context({ calibration: CALIBRATION }))
    const with_ = evaluateSurvey(overRock, context({ calibration: CALIBRATION, siteSoil: OVER_ROCK }))
    const error = (ohm: number | null) => Math.abs(ohm! / field.resistanceOhm - 1)
    expect(error(with_.resistanceOhm)).toBeLessThan(0.5 * error(without.resistanceOhm))
    expect(Math.abs(with_.resistanceOhm! - field.resistanceOhm)).toBeLessThan(with_.expandedUncertaintyOhm!)
  })
  it('the resistance that the electrode should have comes from both layers', () => {
    expect(codes(OVER_ROCK)).not.toContain('implausible-for-electrode')
    expect(codes({ ...OVER_ROCK, upperOhmM: 5, lowerOhmM: 95 })).toContain('implausible-for-electrode')
  })
  it('the soils tried are a belief whose weights add up to one, with the measured one among them', () => {
    for (const count of [3, 9]) {
      const soils = soilsFor(count, OVER_ROCK)
      expect(soils.reduce((sum, soil) => sum + soil.weight, 0)).toBeCloseTo(1, 9)
      expect(soils).toContainEqual(expect.objectContaining({ contrast: 0.9, depthM: 5 }))
    }
  })
  it('a soil that cannot be is left out of account', () => {
    for (const bad of [0, -1, Number.NaN, Number.POSITIVE_INFINITY])
      expect(soilsFor(3, { ...OVER_ROCK, depthM: bad })).toBe(soilsFor(3))
  })
})
