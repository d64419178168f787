import { parseSurvey } from '../../../../shared-lib/survey/schema.ts'
import type { Survey } from '../../../../shared-lib/survey/survey.ts'
import type { FormProblem } from '../view/error-summary.ts'
import type { FormState } from './form-state.ts'
import { understandForm } from './understand-form.ts'

export type ReadForm = { ok: true; survey: Survey } | { ok: false; problems: FormProblem[] }

/** What is typed, understood and checked once more as any program's survey is: a survey in SI, or everything to be mended. */
export function readForm(state: FormState, timeZone: string): ReadForm {
  const { survey, problems, rowOfReading } = understandForm(state, timeZone)
  if (problems.length > 0) return { ok: false, problems }
  const parsed = parseSurvey(survey, { timeZone })
  if (parsed.ok) return parsed
  return {
    ok: false,
    problems: parsed.problems.map((p) => ({
      fieldId:
        p.path[0] === 'readings'
          ? `r${rowOfReading[Number(p.path[1])] ?? 0}-ohm`
          : String(p.path[0] ?? 'test'),
      message: p.problem,
    })),
  }
}
