import { describe, expect, it } from 'vitest'
import { evaluateSurvey } from '../../shared-lib/evaluate/evaluate-survey.ts'
import { simulateSurveys } from '../bench/simulate-surveys.ts'

/** Surveys by the field calculation, seed 7: rods, groups, wires, grids; layers; noise; faults. Figures are floors, not what is reached. */
describe('surveys with known truth', () => {
  const judged = [...simulateSurveys(7, 320)].map(({ survey, electrode, calibration, truth }) => ({
    truth,
    evaluation: evaluateSurvey(survey, { electrode, limits: [], calibration }),
  }))
  const share = (list: typeof judged, holds: (one: (typeof judged)[number]) => boolean) =>
    list.filter(holds).length / list.length
  const sound = judged.filter(({ truth }) => !truth.fault && !truth.layout)
  it('sound ones are valid and raise nothing that needs a person', () => {
    expect(sound.length).toBeGreaterThan(60)
    expect(share(sound, ({ evaluation }) => evaluation.validity === 'valid')).toBeGreaterThanOrEqual(0.97)
    const quiet = share(sound, ({ evaluation }) =>
      evaluation.findings.every(({ severity, code }) => severity === 'notice' || code === 'limit-exceeded'),
    )
    expect(quiet).toBeGreaterThanOrEqual(0.97)
  })
  it('faulty ones are not valid', () => {
    const faulty = judged.filter(({ truth }) => truth.fault)
    expect(share(faulty, ({ evaluation }) => evaluation.validity !== 'valid')).toBeGreaterThanOrEqual(0.97)
  })
  it('the truth lies within the expanded uncertainty of nearly all that were soundly made', () => {
    const made = judged.filter(({ truth, evaluation }) => !truth.fault && evaluation.resistanceOhm !== null)
    const covered = share(
      made,
      ({ truth, evaluation }) =>
        Math.abs(evaluation.resistanceOhm! - truth.R) <= evaluation.expandedUncertaintyOhm!,
    )
    expect(covered).toBeGreaterThanOrEqual(0.94)
  })
})
