import { evaluateSurvey } from '../../../../shared-lib/evaluate/evaluate-survey.ts'
import { type JudgedSurvey, judgedSurvey } from '../../../../shared-lib/evaluate/evaluation.ts'
import type { Survey } from '../../../../shared-lib/survey/survey.ts'
import type { UnderstoodForm } from '../../pages/surveys/understand-form.ts'
import type { PhoneRegister } from '../phone/field-books.ts'

export interface JudgedHere {
  survey: Survey
  judged: JudgedSurvey
  /** The electrode's words are on this phone; without them size, limit and history are not looked at. */
  known: boolean
}

/** The same judgement as the service's, made on this phone. */
export function judgeHere(survey: Survey, register: PhoneRegister): JudgedHere {
  const { context, known } = register.contextFor(survey)
  return { survey, judged: judgedSurvey(survey, evaluateSurvey(survey, context)), known }
}

/**
 * A survey that is still being typed: judged as soon as there is a reading. While the crew is still at the stakes an opened link is
 * as it should be, so it is looked at only once something is said about how it was left.
 */
export function judgeUnfinished({ survey }: UnderstoodForm, register: PhoneRegister): JudgedHere | null {
  // An earth left open is told at once, before there is anything to judge.
  const toJudge = survey.readings.length > 0 || survey.linkChecked === 'still-open'
  if (survey.testedAt === undefined || !toJudge) return null
  const { linkOpenedAt: _, ...rest } = survey
  return judgeHere(survey.linkChecked === undefined ? rest : survey, register)
}
