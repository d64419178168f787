import { readCell } from '../../../../shared-lib/survey/cells.ts'
import { checkSurvey } from '../../../../shared-lib/survey/check-survey.ts'
import type { Field } from '../../../../shared-lib/survey/field-types.ts'
import { SURVEY_FIELDS, type SurveyKey } from '../../../../shared-lib/survey/fields.ts'
import type { Method, Survey } from '../../../../shared-lib/survey/survey.ts'
import type { FormProblem } from '../view/error-summary.ts'
import { cellReading, type FormReading, say } from './form-reading.ts'
import { addChecked } from './form-rules.ts'
import { type FormState, SURVEY_KEYS } from './form-state.ts'
import { readRows } from './read-rows.ts'
import { safetyProblems } from './safety-steps.ts'
import { hiddenKeys } from './shown-fields.ts'
import { testKind } from './test-kinds.ts'

export interface UnderstoodForm {
  /** What could be read, in SI. Whole only when there is no problem; else good for showing how far it is. */
  survey: Survey
  /** Everything that is to be mended, one problem a control. */
  problems: FormProblem[]
  /** Which row of the form each reading came from. */
  rowOfReading: number[]
}

/** What is typed, understood. Pure, and the same on the server and in the browser while it is being typed. */
export function understandForm(state: FormState, timeZone: string): UnderstoodForm {
  const context: FormReading = { state, timeZone, problems: [] }
  const kind = testKind(state.test)
  const given: Record<string, unknown> = {}
  const hidden = hiddenKeys(state.test)
  for (const key of SURVEY_KEYS) {
    if (hidden.has(key)) continue
    const value = fieldValue(key, context)
    if (value !== undefined) given[key] = value
  }
  given.method = kind.methods.includes(given.method as Method) ? given.method : kind.methods[0]
  given.outcome = outcomeOf(context, given.outcome)
  given.measuredAs ??= 'not-known'
  const { readings, rowOfReading } = readRows(context, given.currentProbeM as number | undefined)
  const survey = { ...given, readings } as unknown as Survey
  addMissing(context, survey)
  for (const problem of checkSurvey(survey)) addChecked(context, problem, survey, rowOfReading)
  if (!hidden.has('linkChecked')) context.problems.push(...safetyProblems(state))
  return { survey, problems: once(context.problems), rowOfReading }
}

function fieldValue(key: SurveyKey, context: FormReading): string | number | undefined {
  const typed = context.state.values[key]?.trim() ?? ''
  if (typed === '') return undefined
  const field: Field = SURVEY_FIELDS[key]
  const cell = readCell(typed, field, cellReading(field, context))
  if (cell.kind === 'value') return cell.value
  const code = cell.kind === 'refused' ? cell.code : 'over-range-here'
  context.problems.push({ fieldId: key, message: say(field, field.label, code, typed) })
  return undefined
}

function outcomeOf({ state, problems }: FormReading, chosen: unknown): string {
  if (state.test !== 'none') return 'tested'
  if (typeof chosen === 'string' && chosen !== 'tested') return chosen
  problems.push({ fieldId: 'outcome', message: 'Choose why the test could not be made.' })
  return 'unsafe'
}

function addMissing({ state, problems }: FormReading, survey: Survey): void {
  const wrong = new Set(problems.map((p) => p.fieldId))
  if (survey.testedAt === undefined && !wrong.has('testedAt'))
    problems.push({
      fieldId: 'testedAt',
      message:
        state.test === 'none'
          ? 'Give the date and time of the visit.'
          : 'Give the date and time of the test.',
    })
  if (survey.surveyRef === undefined && !wrong.has('surveyRef'))
    problems.push({
      fieldId: 'surveyRef',
      message: 'Give the survey a reference, such as the number of its sheet.',
    })
}

/** One problem a control, so that a summary line and the words beside the control are the same. */
function once(problems: FormProblem[]): FormProblem[] {
  const seen = new Set<string>()
  return problems.filter((p) => !seen.has(p.fieldId) && seen.add(p.fieldId))
}
