import type { SurveyProblem } from '../../../../shared-lib/survey/check-survey.ts'
import type { Field } from '../../../../shared-lib/survey/field-types.ts'
import { READING_FIELDS, SURVEY_FIELDS } from '../../../../shared-lib/survey/fields.ts'
import { sentence } from '../../../../shared-lib/survey/problems.ts'
import type { Survey } from '../../../../shared-lib/survey/survey.ts'
import { labelWithUnit } from '../view/field-words.ts'
import { type FormReading, inFeet, rowLabel } from './form-reading.ts'
import { testKind } from './test-kinds.ts'

/** Adds what the rules of a survey as a whole find, at the control where it can be mended. */
export function addChecked(
  context: FormReading,
  problem: SurveyProblem,
  survey: Survey,
  rowOfReading: number[],
): void {
  const { state, problems } = context
  if (problem.reading) {
    const { index, key } = problem.reading
    const row = rowOfReading[index] ?? 0
    // Without the current probe's distance no row has a place: that is told once, at the distance itself.
    if (key === 'potentialProbeM' && testKind(state.test).rows === 'percent') return
    const suffix =
      key === 'potentialProbeM' || key === 'probeSpacingM'
        ? 'distance'
        : key === 'probeDepthM'
          ? 'depth'
          : 'ohm'
    const fieldId = `r${row}-${suffix}`
    problems.push({
      fieldId,
      message: sentence(problem.code, {
        ...problem.context,
        name: rowLabel(state, row, READING_FIELDS[key]),
      }),
    })
    return
  }
  if (problem.key) {
    const field: Field = SURVEY_FIELDS[problem.key]
    if (problem.code === 'field-needed' && problems.some((p) => p.fieldId === problem.key)) return
    const message =
      problem.code === 'field-needed'
        ? `Fill in “${labelWithUnit(field, inFeet(state, field) ? 'ft' : undefined)}”: this kind of test needs it.`
        : sentence(problem.code, { ...problem.context, name: field.label })
    problems.push({ fieldId: problem.key, message })
    return
  }
  const fieldId = survey.readings.length === 0 ? 'r0-ohm' : `r${rowOfReading.at(-1) ?? 0}-ohm`
  const message =
    problem.code === 'no-readings'
      ? 'Enter at least one reading, or choose “Could not test” and the reason.'
      : sentence(problem.code, problem.context)
  problems.push({ fieldId, message })
}
