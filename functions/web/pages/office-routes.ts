import type { Hono } from 'hono'
import { seesSite } from '../../../shared-lib/ports/identity.ts'
import type { WebDeps } from '../deps.ts'
import type { WebEnv } from '../session.ts'
import { visibleDue } from '../visible-lists.ts'
import { duePage } from './due/due-page.ts'
import { heldList, heldPage } from './held/held-pages.ts'
import { mailPage, outboxList } from './outbox/outbox-pages.ts'
import { readMail } from './outbox/read-mail.ts'
import { type PageCall, pathPart, queryPart, respond, respondProblem, signedIn } from './respond.ts'
import { paths } from './view/paths.ts'

const PAGE_SIZE = 50
const MOST_MAILS = 200
const MONTHS_AHEAD = 13

/** What is due, what is held, and the outbox of one machine. */
export function registerOffice(app: Hono<WebEnv>, deps: WebDeps): void {
  app.get(paths.due, signedIn(deps, due))
  app.get(paths.held, signedIn(deps, held))
  app.get('/held/:electrode/:ref', signedIn(deps, heldOne))
  if (deps.outbox === undefined) return
  app.get(paths.outbox, signedIn(deps, outbox))
  app.get('/outbox/:id', signedIn(deps, mail))
}

async function due(call: PageCall): Promise<Response> {
  const { c, deps, person, frame } = call
  const today = new Date(frame.nowMs).toISOString().slice(0, 10)
  const months = monthsFrom(today.slice(0, 7), MONTHS_AHEAD)
  const site = queryPart(c, 'site')
  const to = queryPart(c, 'to')
  const cursor = queryPart(c, 'cursor')
  if (site !== undefined && !seesSite(person, site)) return respondProblem(c, deps, 'site-not-allowed')
  if (to !== undefined && !/^\d{4}-(0[1-9]|1[0-2])$/.test(to)) return respondProblem(c, deps, 'not-found')
  const page = await visibleDue(deps, person, {
    limit: PAGE_SIZE,
    toMonth: to ?? today.slice(0, 7),
    ...(cursor === undefined ? {} : { cursor }),
    ...(site === undefined ? {} : { siteId: site }),
  })
  if (!page) return respondProblem(c, deps, 'unknown-cursor')
  const query = {
    ...(site === undefined ? {} : { site }),
    ...(to === undefined ? {} : { to }),
    ...(cursor === undefined ? {} : { cursor }),
  }
  return respond(c, frame, {
    title: 'Due',
    section: paths.due,
    body: duePage({ page, query, months, today }),
  })
}

/** `count` months from this one on, `YYYY-MM`. */
export function monthsFrom(first: string, count: number): string[] {
  const [year = 0, month = 1] = first.split('-').map(Number)
  return Array.from({ length: count }, (_, i) =>
    new Date(Date.UTC(year, month - 1 + i, 1)).toISOString().slice(0, 7),
  )
}

async function held(call: PageCall): Promise<Response> {
  const { c, deps, person, frame } = call
  if (person.role !== 'quality' && person.role !== 'admin') return respondProblem(c, deps, 'role-not-allowed')
  const cursor = queryPart(c, 'cursor')
  const page = await deps.ledger.listHeld({ limit: PAGE_SIZE, ...(cursor === undefined ? {} : { cursor }) })
  const body = heldList({ page, query: cursor === undefined ? {} : { cursor }, nowMs: frame.nowMs })
  return respond(c, frame, { title: 'Held surveys', section: paths.held, body })
}

/** A held survey belongs to no site yet: whoever handed it in sees it, and those who match it. */
async function heldOne(call: PageCall): Promise<Response> {
  const { c, deps, person, frame } = call
  const ref = pathPart(c, 'ref')
  const electrodeId = pathPart(c, 'electrode')
  const found = (await deps.ledger.heldFor(electrodeId)).find((h) => h.survey.surveyRef === ref)
  const mayList = person.role === 'quality' || person.role === 'admin'
  if (!found) {
    const stored = await deps.ledger.getSurvey({ kind: 'electrode', id: electrodeId }, ref)
    return stored ? c.redirect(paths.survey(electrodeId, ref), 303) : respondProblem(c, deps, 'not-found')
  }
  if (!mayList && found.receivedFrom.by !== person.id) return respondProblem(c, deps, 'not-found')
  const body = heldPage(found, queryPart(c, 'received') === 'new', mayList)
  return respond(c, frame, { title: `Held survey ${ref}`, section: paths.held, body })
}

async function outbox(call: PageCall): Promise<Response> {
  const { c, deps, person, frame } = call
  if (person.role === 'field') return respondProblem(c, deps, 'role-not-allowed')
  const all = (await deps.outbox?.list()) ?? []
  const own =
    person.role === 'engineer' && person.email ? all.filter((m) => sameAddress(m.to, person.email)) : all
  const body = outboxList(own.slice(0, MOST_MAILS), frame.nowMs, own.length > MOST_MAILS)
  return respond(c, frame, { title: 'Outbox', section: paths.outbox, body })
}

async function mail(call: PageCall): Promise<Response> {
  const { c, deps, person, frame } = call
  if (person.role === 'field') return respondProblem(c, deps, 'role-not-allowed')
  const source = await deps.outbox?.read(pathPart(c, 'id'))
  if (!source) return respondProblem(c, deps, 'not-found')
  const read = readMail(source)
  if (person.role === 'engineer' && person.email && !sameAddress(read.to, person.email))
    return respondProblem(c, deps, 'not-found')
  return respond(c, frame, {
    title: read.subject,
    section: paths.outbox,
    body: mailPage(read, deps.settings.baseUrl),
  })
}

function sameAddress(to: string, email: string | undefined): boolean {
  return email !== undefined && to.toLowerCase().includes(email.toLowerCase())
}
