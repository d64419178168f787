import type { WebDeps } from '../../deps.ts'
import { type PageCall, respond } from '../respond.ts'
import { paths } from '../view/paths.ts'
import { type FormPageParts, surveyFormPage } from './form-page.ts'

/** A reference issued with the form: the same form sent twice is the same survey. Letters and digits, to be read out on a phone. */
export function newReference(deps: WebDeps): string {
  const letters = deps
    .newId()
    .replace(/[^A-Za-z0-9]/g, '')
    .toUpperCase()
  return `F-${letters.slice(0, 12)}`
}

/** The form as an answer. */
export function showForm(
  call: PageCall,
  parts: Omit<FormPageParts, 'controlRoomPhone'>,
  status: 200 | 422 = 200,
): Promise<Response> {
  const body = surveyFormPage({ ...parts, controlRoomPhone: call.frame.controlRoomPhone })
  const title = parts.state.values.corrects ? 'Correct a survey' : 'Hand in a survey'
  const wrong = parts.problems.length > 0
  return respond(
    call.c,
    call.frame,
    {
      title,
      section: paths.newSurvey(),
      body,
      wrong,
      typedInto: true,
      density: 'field',
      scripts: ['field'],
    },
    status,
  )
}
