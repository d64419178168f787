import type { Hono } from 'hono'
import type { HeldSurvey } from '../../../../shared-lib/ledger/kept/survey.ts'
import type { Person } from '../../../../shared-lib/ports/identity.ts'
import { barToRead, seesBeyondSites } from '../../access.ts'
import type { WebDeps } from '../../deps.ts'
import { moveHeld } from '../../move-held.ts'
import type { ProblemName } from '../../problems.ts'
import type { WebEnv } from '../../web-env.ts'
import { type PageCall, pathPart, queryPart, respond, respondProblem, signedIn } from '../respond.ts'
import type { FormProblem } from '../view/error-summary.ts'
import { paths } from '../view/paths.ts'
import { heldList, heldPage } from './held-pages.ts'

const PAGE_SIZE = 50

/** Surveys of electrodes nobody knows: the list, one of them, and moving it to its electrode. */
export function registerHeld(app: Hono<WebEnv>, deps: WebDeps): void {
  app.get(paths.held, signedIn(deps, list))
  app.get('/held/:electrode/:ref', signedIn(deps, one))
  app.post('/held/:electrode/:ref/move', signedIn(deps, move))
}

/** Who may say which electrode a held survey is of: those who see all that are held. Null = they may. */
function barToMatch(person: Person): ProblemName | null {
  if (seesBeyondSites(person)) return null
  return person.role === 'quality' || person.role === 'admin' ? 'site-not-allowed' : 'role-not-allowed'
}

async function list(call: PageCall): Promise<Response> {
  const { c, deps, person, frame } = call
  const barred = barToMatch(person)
  if (barred) return respondProblem(c, deps, barred)
  const cursor = queryPart(c, 'cursor')
  const page = await deps.ledger.listHeld({ limit: PAGE_SIZE, ...(cursor === undefined ? {} : { cursor }) })
  const body = heldList({ page, query: cursor === undefined ? {} : { cursor }, nowMs: frame.nowMs })
  return respond(c, frame, { title: 'Held surveys', section: paths.held, body })
}

async function heldOf({ c, deps }: PageCall): Promise<HeldSurvey | undefined> {
  const waiting = await deps.ledger.heldFor(pathPart(c, 'electrode'))
  return waiting.find((h) => h.survey.surveyRef === pathPart(c, 'ref'))
}

/** A held survey belongs to no site yet: whoever handed it in sees it, and those who match it. */
async function one(call: PageCall): Promise<Response> {
  const { c, deps, person } = call
  const ref = pathPart(c, 'ref')
  const electrodeId = pathPart(c, 'electrode')
  const found = await heldOf(call)
  if (!found) {
    const stored = await deps.ledger.getSurvey({ kind: 'electrode', id: electrodeId }, ref)
    const record = stored && (await deps.ledger.getElectrode(electrodeId))
    return record && barToRead(person, record.electrode) === null
      ? c.redirect(paths.survey(electrodeId, ref), 303)
      : respondProblem(c, deps, 'not-found')
  }
  if (!seesBeyondSites(person) && found.receivedFrom.by !== person.id)
    return respondProblem(c, deps, 'not-found')
  return show(call, found)
}

function show(
  { c, person, frame }: PageCall,
  found: HeldSurvey,
  wrong: { typed?: string; problems?: readonly FormProblem[] } = {},
): Promise<Response> {
  const body = heldPage({
    held: found,
    justNow: queryPart(c, 'received') === 'new',
    mayMatch: seesBeyondSites(person),
    isSender: found.receivedFrom.by === person.id,
    mayRegister: person.role === 'admin',
    ...wrong,
  })
  const isWrong = (wrong.problems?.length ?? 0) > 0
  const title = `Held survey ${found.survey.surveyRef}`
  return respond(c, frame, { title, section: paths.held, body, wrong: isWrong }, isWrong ? 422 : 200)
}

async function move(call: PageCall): Promise<Response> {
  const { c, deps, person } = call
  const barred = barToMatch(person)
  if (barred) return respondProblem(c, deps, barred)
  const found = await heldOf(call)
  if (!found) return one(call)
  const data = await c.req.formData().catch(() => null)
  const typed = String(data?.get('to') ?? '').trim()
  const say = (message: string) => show(call, found, { typed, problems: [{ fieldId: 'to', message }] })
  if (typed === '') return say('Give the id of the electrode this survey is of.')
  const done = await moveHeld(deps, person, found, typed)
  switch (done.kind) {
    case 'moved':
      return c.redirect(paths.survey(done.electrodeId, done.surveyRef), 303)
    case 'barred':
      return respondProblem(c, deps, done.problem)
    case 'no-such-electrode':
      return say(`No electrode “${typed}” is in the register. Check the id, or register it first.`)
    case 'conflict':
      return say(
        `Electrode ${typed} already has another survey with the reference ${found.survey.surveyRef}. Hand this one in again under a reference of its own, or as a correction.`,
      )
  }
}
