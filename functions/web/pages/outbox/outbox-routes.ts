import type { Hono } from 'hono'
import type { WebDeps } from '../../deps.ts'
import type { WebEnv } from '../../web-env.ts'
import { type PageCall, pathPart, respond, respondProblem, signedIn } from '../respond.ts'
import { paths } from '../view/paths.ts'
import { mailPage, outboxList } from './outbox-pages.ts'
import { readMail } from './read-mail.ts'

const MOST_MAILS = 200

/** The outbox of one machine. */
export function registerOutbox(app: Hono<WebEnv>, deps: WebDeps): void {
  if (deps.outbox === undefined) return
  app.get(paths.outbox, signedIn(deps, outbox))
  app.get('/outbox/:id', signedIn(deps, mail))
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
