import type { Field } from './field-types.ts'
import { READING_FIELDS, type ReadingKey, SURVEY_FIELDS, type SurveyKey } from './fields.ts'
import { expectationOf, type ProblemCode, type ProblemContext } from './problems.ts'
import type { Method, Reading, Survey } from './survey.ts'

/** Where in a survey a problem is: a field, or a field of one reading (by index), or the survey as a whole. */
export interface SurveyProblem {
  key?: SurveyKey
  reading?: { index: number; key: ReadingKey }
  code: ProblemCode
  context: ProblemContext
}

export const MOST_READINGS = 1000

/**
 * Beyond this angle between the leads no position of the potential probe is the right one, so a distance at or beyond the current
 * probe's is possible and left to the judgement (the angle at which the exact position vanishes in uniform soil: 28.955 degrees).
 */
const IN_LINE_UP_TO_DEG = 28.955

const LINE_METHODS: readonly Method[] = ['fall-of-potential', 'slope']
const STAKED_METHODS: readonly Method[] = ['fall-of-potential', 'slope', 'selective', 'high-frequency']

const needed = (key: SurveyKey, method: Method): SurveyProblem => ({
  key,
  code: 'field-needed',
  context: { detail: method, expected: expectationOf(SURVEY_FIELDS[key] as Field) },
})

function subjectProblems(survey: Survey): SurveyProblem[] {
  const { method } = survey
  if (method === 'four-point') return survey.siteId === undefined ? [needed('siteId', method)] : []
  if (method !== 'check-resistor')
    return survey.electrodeId === undefined ? [needed('electrodeId', method)] : []
  const problems: SurveyProblem[] = []
  if (survey.instrumentId === undefined) problems.push(needed('instrumentId', method))
  if (survey.knownOhm === undefined && survey.outcome === 'tested') problems.push(needed('knownOhm', method))
  if (survey.electrodeId !== undefined)
    problems.push({
      key: 'electrodeId',
      code: 'field-not-expected',
      context: {
        value: survey.electrodeId,
        detail: 'a check-resistor test is about the instrument, not an electrode',
      },
    })
  return problems
}

function readingProblems(reading: Reading, index: number, survey: Survey): SurveyProblem[] {
  const at = (key: ReadingKey, code: ProblemCode, context: ProblemContext): SurveyProblem => ({
    reading: { index, key },
    code,
    context,
  })
  const missing = (key: ReadingKey, code: ProblemCode) =>
    at(key, code, { detail: survey.method, expected: expectationOf(READING_FIELDS[key] as Field) })
  const problems: SurveyProblem[] = []
  if (reading.condition === 'ok' && reading.resistanceOhm === undefined)
    problems.push(missing('resistanceOhm', 'missing-value'))
  if (reading.condition === 'over-range' && reading.resistanceOhm !== undefined)
    problems.push(
      at('resistanceOhm', 'condition-contradicts', {
        value: String(reading.resistanceOhm),
        detail: 'the condition is over-range, so a bound shown by the display belongs into at_least_ohm',
      }),
    )
  if (reading.condition === 'ok' && reading.atLeastOhm !== undefined)
    problems.push(
      at('atLeastOhm', 'condition-contradicts', {
        value: String(reading.atLeastOhm),
        detail: 'a lower bound belongs to an over-range reading, and this one has a resistance',
      }),
    )
  if (LINE_METHODS.includes(survey.method) && reading.potentialProbeM === undefined)
    problems.push(missing('potentialProbeM', 'missing-value'))
  if (survey.method === 'four-point' && reading.probeSpacingM === undefined)
    problems.push(missing('probeSpacingM', 'field-needed'))
  const { currentProbeM, leadAngleDeg = 0 } = survey
  if (
    STAKED_METHODS.includes(survey.method) &&
    leadAngleDeg <= IN_LINE_UP_TO_DEG &&
    currentProbeM !== undefined &&
    reading.potentialProbeM !== undefined &&
    reading.potentialProbeM >= currentProbeM
  )
    problems.push(
      at('potentialProbeM', 'probe-beyond', {
        value: String(reading.potentialProbeM),
        detail: String(currentProbeM),
      }),
    )
  return problems
}

/**
 * What makes a survey impossible to take in, though each field alone is sound: the needs of its method, readings where there can
 * be none, a probe where it cannot stand. Everything that is merely wrong or doubtful is left to the judgement.
 */
export function checkSurvey(survey: Survey): SurveyProblem[] {
  const problems = subjectProblems(survey)
  const { method, outcome, readings } = survey
  if (outcome !== 'tested') {
    if (readings.length > 0)
      problems.push({ key: 'outcome', code: 'readings-not-expected', context: { detail: outcome } })
    return problems
  }
  if (LINE_METHODS.includes(method) && survey.currentProbeM === undefined)
    problems.push(needed('currentProbeM', method))
  if (readings.length === 0) problems.push({ code: 'no-readings', context: {} })
  if (readings.length > MOST_READINGS)
    problems.push({ code: 'too-many-readings', context: { detail: String(MOST_READINGS) } })
  if (method === 'two-point' && readings.length > 1) problems.push({ code: 'one-reading-only', context: {} })
  readings.forEach((reading, index) => {
    problems.push(...readingProblems(reading, index, survey))
  })
  return problems
}
