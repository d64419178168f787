import type { Hono } from 'hono'
import { bodyLimit } from 'hono/body-limit'
import { createBooksReader } from '../../../../shared-lib/ledger/books.ts'
import { barToRead } from '../../access.ts'
import type { WebDeps } from '../../deps.ts'
import { barToSurvey, zoneOf } from '../../survey-place.ts'
import type { WebEnv } from '../../web-env.ts'
import { type PageCall, pathPart, queryPart, respond, respondProblem, signedIn } from '../respond.ts'
import { typedIn } from '../typed-in.ts'
import { html } from '../view/html.ts'
import { paths } from '../view/paths.ts'
import { electrodeByTag, readableElectrode } from './form-electrode.ts'
import {
  blankForm,
  type FormState,
  formFromPost,
  formFromSurvey,
  localMinute,
  withTest,
} from './form-state.ts'
import { checkForm, handInForm } from './hand-in-form.ts'
import { newReference, showForm } from './show-form.ts'

const MOST_FORM_BYTES = 500_000

/** `/surveys/new`: the form, its buttons, and handing in; `/e/…`: what the code on an electrode's lid opens. */
export function registerSurveyForm(app: Hono<WebEnv>, deps: WebDeps): void {
  app.get('/surveys/new', signedIn(deps, openForm))
  app.get('/e/:id', (c) => c.redirect(paths.newSurvey(pathPart(c, 'id')), 303))
  app.get(paths.onThisPhone, signedIn(deps, onThisPhone))
  app.post(
    '/surveys/new',
    bodyLimit({ maxSize: MOST_FORM_BYTES, onError: (c) => respondProblem(c, deps, 'too-large') }),
    signedIn(deps, takeForm),
  )
}

async function openForm({ c, deps, person, frame }: PageCall): Promise<Response> {
  const electrodeId = queryPart(c, 'electrode')
  const corrects = queryPart(c, 'corrects')
  const record = electrodeId === undefined ? null : await readableElectrode(deps, person, electrodeId)
  const timeZone = record?.electrode.timeZone ?? 'UTC'
  if (record !== null && corrects !== undefined) {
    const old = await deps.ledger.getSurvey({ kind: 'electrode', id: record.electrode.electrodeId }, corrects)
    if (old) {
      const state = formFromSurvey(old.survey, newReference(deps), timeZone)
      return showForm(
        { c, deps, person, frame },
        { state, problems: [], electrode: record.electrode, timeZone },
      )
    }
  }
  const state = blankForm(newReference(deps), {
    ...(electrodeId === undefined ? {} : { electrodeId }),
    ...(record === null ? {} : { testedAt: localMinute(deps.clock.nowMs(), timeZone) }),
  })
  return showForm(
    { c, deps, person, frame },
    { state, problems: [], electrode: record?.electrode ?? null, timeZone },
  )
}

/** The list of what this phone keeps. Filled in there: the service does not know it. */
function onThisPhone({ c, frame }: PageCall): Promise<Response> {
  const body = html`<h1>On this phone</h1>
<div id="on-this-phone"><p>This list is kept by the browser on this phone and needs JavaScript. Without it nothing is kept here: what is handed in goes to the service at once.</p></div>
<p class="actions"><a class="button main" href="${paths.newSurvey()}">Hand in a survey</a></p>`
  return respond(c, frame, {
    title: 'On this phone',
    section: paths.onThisPhone,
    body,
    density: 'field',
    scripts: ['phone-list'],
  })
}

async function takeForm(call: PageCall): Promise<Response> {
  const { c, deps, person } = call
  const data = await c.req.formData().catch(() => null)
  if (data === null)
    return respondProblem(
      c,
      deps,
      'not-readable',
      'The form did not arrive whole. Go one page back and send it again.',
    )
  const action = String(data.get('action') ?? 'check')
  const post = formFromPost(data)
  let state = withTest(post.state, post.shown)
  const typedId = state.values.electrodeId?.trim() ?? ''
  const books = createBooksReader(deps.ledger)
  let known = typedId === '' ? null : await books.electrodeOf(typedId)
  const byTag = known === null && typedId !== '' ? await electrodeByTag(deps, person, typedId) : null
  if (byTag) {
    known = byTag
    state = { ...state, values: { ...state.values, electrodeId: byTag.electrode.electrodeId } }
  }
  const electrode = known && barToRead(person, known.electrode) === null ? known.electrode : null
  const timeZone =
    (await zoneOf(deps, { electrodeId: state.values.electrodeId, siteId: state.values.siteId }, books)) ??
    'UTC'
  const parts = { electrode, timeZone }
  if (action === 'unit-ft' || action === 'unit-m') {
    const unit = action === 'unit-ft' ? 'ft' : 'm'
    const notice = `Distances on this form are now read in ${unit === 'ft' ? 'feet' : 'metres'}. The numbers typed so far were not changed.`
    return showForm(call, { state: { ...state, unit }, problems: [], ...parts, notice })
  }
  if (post.state.test !== post.shown || action === 'show' || action === 'distances')
    return showForm(call, {
      state,
      problems: [],
      ...parts,
      notice: shownNotice(state, typedId, electrode !== null, action),
    })
  const { readForm } = await typedIn()
  const read = readForm(state, timeZone)
  if (!read.ok) return showForm(call, { state, problems: read.problems, ...parts }, 422)
  const barred = await barToSurvey(deps, person, read.survey, books)
  if (barred) return respondProblem(c, deps, barred)
  if (action !== 'hand-in') return checkForm(call, state, read.survey, parts, books)
  return handInForm(call, state, read.survey, parts, books)
}

function shownNotice(state: FormState, typedId: string, found: boolean, action: string): string | undefined {
  if (action === 'distances' && !state.values.currentProbeM?.trim())
    return 'Type the distance of the current probe first, then set the distances.'
  if (typedId !== '' && !found)
    return `Electrode ${typedId} is not in the register, or not of your sites. A survey of it can be handed in and is held until the electrode is matched.`
  return undefined
}
