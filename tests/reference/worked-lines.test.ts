import { describe, expect, it } from 'vitest'
import { solveField } from '../../shared-lib/earth/field/field.ts'
import { segmentsOf } from '../../shared-lib/earth/field/segments.ts'
import { slopeMethod } from '../../shared-lib/earth/slope-method.ts'
import { evaluateSurvey } from '../../shared-lib/evaluate/evaluate-survey.ts'
import type { Survey } from '../../shared-lib/survey/survey.ts'
import { CALIBRATION } from '../evaluate/surveys.ts'
import { WORKED_LINES, type WorkedLine } from './worked-lines.ts'

const FULL = [0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9]
const line = (id: string): WorkedLine => WORKED_LINES.find((worked) => worked.id === id)!

function judged(worked: WorkedLine, positions: readonly number[], recordAngle = true) {
  const survey: Survey = {
    surveyRef: worked.id,
    electrodeId: 'C',
    testedAt: '2026-05-04T10:00:00Z',
    method: 'fall-of-potential',
    outcome: 'tested',
    measuredAs: 'electrode-alone',
    currentProbeM: worked.currentProbeM,
    ...(recordAngle && worked.angleDeg > 0 && { leadAngleDeg: worked.angleDeg }),
    readings: worked.readings
      .filter(([p]) => positions.includes(p))
      .map(([p, resistanceOhm]) => ({
        condition: 'ok',
        potentialProbeM: p * worked.currentProbeM,
        resistanceOhm: Math.round(100 * resistanceOhm) / 100,
      })),
  }
  const calibration = { ...CALIBRATION, accuracyPercent: 0.5, accuracyDigits: 1 }
  return evaluateSurvey(survey, { electrode: worked.electrode, limits: [], calibration })
}

describe('worked lines with known truth (COMPUTED)', () => {
  it.each(WORKED_LINES.map((worked) => [worked.id, worked] as const))(
    '%s, full: what gets a number lies within its expanded uncertainty',
    (_, worked) => {
      const { resistanceOhm, expandedUncertaintyOhm } = judged(worked, FULL)
      if (resistanceOhm === null) return
      expect(Math.abs(resistanceOhm - worked.trueOhm)).toBeLessThanOrEqual(expandedUncertaintyOhm!)
    },
  )
  it.each(WORKED_LINES.map((worked) => [worked.id, worked] as const))(
    '%s, short: what gets a number lies within its expanded uncertainty',
    (_, worked) => {
      const { resistanceOhm, expandedUncertaintyOhm } = judged(worked, [0.52, 0.62, 0.72])
      if (resistanceOhm === null) return
      expect(Math.abs(resistanceOhm - worked.trueOhm)).toBeLessThanOrEqual(expandedUncertaintyOhm!)
    },
  )
  it('sound lines are valid: C01, C05, C09, C11, C12', () => {
    for (const id of ['C01', 'C05', 'C09', 'C11', 'C12'])
      expect([id, judged(line(id), FULL).validity]).toEqual([id, 'valid'])
  })
  it.each(['C03', 'C04'])(
    '%s: flat and low; with its angle recorded it is corrected, without it not valid as a full survey',
    (id) => {
      const recorded = judged(line(id), FULL)
      expect(recorded.validity).not.toBe('invalid')
      expect(Math.abs(recorded.resistanceOhm! / line(id).trueOhm - 1)).toBeLessThan(0.02)
      const hidden = judged(line(id), FULL, false)
      expect(hidden.validity).not.toBe('valid')
      expect(hidden.findings.map((found) => found.code)).toContain('no-steady-position')
    },
  )
  it('C08, a grid with the current probe at twice its side, measured from its edge: within 3 %', () => {
    expect(Math.abs(judged(line('C08'), FULL).resistanceOhm! / line('C08').trueOhm - 1)).toBeLessThan(0.03)
  })
  it('the plain mean would have been wrong by 12.9 % there, and is still shown for a check by hand', () => {
    const short = judged(line('C08'), [0.52, 0.62, 0.72])
    expect(short.meanOhm! / line('C08').trueOhm).toBeCloseTo(1.129, 2)
  })
})

// Published summary of the same lines, COMPUTED: what the slope method makes of them, in % of the truth.
describe('slope method on the worked lines', () => {
  it.each([
    ['C01', -0.052],
    ['C02', -0.567],
    ['C06', 0.151],
    ['C07', 0.415],
    ['C08', 0.807],
    ['C09', 0.469],
    ['C10', -2.828],
    ['C12', -0.251],
  ])('%s is off by %f %%', (id, percent) => {
    const at = (p: number) => line(id).readings.find(([position]) => position === p)![1]
    const found = slopeMethod(at(0.2), at(0.4), at(0.6))!
    expect(100 * (found.resistanceOhm / line(id).trueOhm - 1)).toBeCloseTo(percent, 1)
  })
  it.each(['C03', 'C04'])('%s has no answer: mu is below 0.40', (id) => {
    const at = (p: number) => line(id).readings.find(([position]) => position === p)![1]
    expect(slopeMethod(at(0.2), at(0.4), at(0.6))).toBeNull()
  })
})

// Two independent moment methods; meshes differ, so 1.5 %.
describe('field calculation', () => {
  const soils = {
    C09: { upperOhmM: 200, contrast: -0.6, depthM: 5 },
    C10: { upperOhmM: 50, contrast: 0.6, depthM: 5 },
    C11: { upperOhmM: 2000, contrast: (100 - 2000) / 2100, depthM: 1 },
  } as const
  it.each(['C01', 'C02', 'C03', 'C04', 'C09', 'C10', 'C11', 'C12'])(
    '%s: resistance and every reading agree within 1.5 %%',
    (id) => {
      const worked = line(id)
      const soil = soils[id as keyof typeof soils] ?? { upperOhmM: 100, contrast: 0, depthM: 1 }
      const field = solveField(segmentsOf(worked.electrode)!, soil)!
      expect(Math.abs(field.resistanceOhm / worked.trueOhm - 1)).toBeLessThan(0.015)
      const turn = (worked.angleDeg * Math.PI) / 180
      for (const [p, ohm] of worked.readings) {
        const x = p * worked.currentProbeM
        const reading = field.readingOhm(
          { x: worked.currentProbeM, y: 0 },
          { x: x * Math.cos(turn), y: x * Math.sin(turn) },
        )
        expect(Math.abs(reading / ohm - 1)).toBeLessThan(0.015)
      }
    },
  )
  it('C06 to C08, the grid measured from its edge, agree within 1.5 % at every position from 20 %', () => {
    const field = solveField(segmentsOf(line('C06').electrode)!, { upperOhmM: 200, contrast: 0, depthM: 1 })!
    for (const id of ['C06', 'C07', 'C08']) {
      const worked = line(id)
      for (const [p, ohm] of worked.readings.filter(([position]) => position >= 0.2)) {
        const reading = field.readingOhm(
          { x: worked.currentProbeM + 10, y: 0 },
          { x: p * worked.currentProbeM + 10, y: 0 },
        )
        expect(Math.abs(reading / ohm - 1)).toBeLessThan(0.015)
      }
    }
  })
})
