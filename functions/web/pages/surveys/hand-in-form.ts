import type { BooksReader } from '../../../../shared-lib/ledger/books.ts'
import type { Survey } from '../../../../shared-lib/survey/survey.ts'
import { type PageCall, respond } from '../respond.ts'
import { typedIn } from '../typed-in.ts'
import { paths, withQuery } from '../view/paths.ts'
import { conflictPage } from './conflict-page.ts'
import { type FormPageParts, surveyFormPage } from './form-page.ts'
import type { FormState } from './form-state.ts'
import { newReference, showForm } from './show-form.ts'

/** Judges what was typed and stores nothing. */
export async function checkForm(
  call: PageCall,
  state: FormState,
  survey: Survey,
  parts: Pick<FormPageParts, 'electrode' | 'timeZone'>,
  books: BooksReader,
): Promise<Response> {
  const found = await books.booksFor(survey)
  if (!found) {
    const notice = `Everything typed can be read. Electrode ${survey.electrodeId} is not in the register, so the survey cannot be judged yet; handed in, it is held until the electrode is matched.`
    return showForm(call, { state, problems: [], ...parts, notice })
  }
  const { judgeByBooks } = await typedIn()
  return showForm(call, {
    state,
    problems: [],
    ...parts,
    checked: {
      survey,
      judged: judgeByBooks(survey, found.books, new Date(call.deps.clock.nowMs()).toISOString()).judged,
    },
  })
}

/** Hands in what was typed: each outcome has a page of its own. */
export async function handInForm(
  call: PageCall,
  state: FormState,
  survey: Survey,
  parts: Pick<FormPageParts, 'electrode' | 'timeZone'>,
  books: BooksReader,
): Promise<Response> {
  const { c, deps, person, frame } = call
  const done = await deps.desk.handIn(survey, { via: 'form', by: person.id }, person.sites, books)
  switch (done.kind) {
    case 'stored':
    case 'already-there':
      return c.redirect(
        withQuery(paths.subjectSurvey(done.record.subject, survey.surveyRef), {
          received: done.kind === 'stored' ? 'new' : 'before',
        }),
        303,
      )
    case 'held':
      return c.redirect(
        withQuery(paths.heldSurvey(done.held.electrodeId, survey.surveyRef), { received: 'new' }),
        303,
      )
    case 'conflict': {
      const fresh = newReference(deps)
      const next: FormState = {
        ...state,
        values: { ...state.values, surveyRef: fresh, corrects: survey.surveyRef },
      }
      const form = surveyFormPage({
        state: next,
        problems: [],
        ...parts,
        controlRoomPhone: frame.controlRoomPhone,
      })
      const mayRead = done.stored.subject.kind !== 'electrode' || parts.electrode !== null
      const body = conflictPage({ stored: done.stored, sent: survey, fresh, form, mayRead })
      return respond(c, frame, { title: 'This reference is taken', body, wrong: true, density: 'field' }, 409)
    }
  }
}
