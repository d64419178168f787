import type { Hono } from 'hono'
import type { Person } from '../../../../shared-lib/ports/identity.ts'
import { seesBeyondSites } from '../../access.ts'
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
  const own = all.filter((m) => mayReadMail(person, m.to))
  const body = outboxList(own.slice(0, MOST_MAILS), frame.nowMs, own.length > MOST_MAILS)
  return respond(c, frame, { title: 'Outbox', section: paths.outbox, body })
}

async function mail(call: PageCall): Promise<Response> {
  const { c, deps, person, frame } = call
  if (person.role === 'field') return respondProblem(c, deps, 'role-not-allowed')
  const source = await deps.outbox?.read(pathPart(c, 'id'))
  if (!source) return respondProblem(c, deps, 'not-found')
  const read = readMail(source)
  if (!mayReadMail(person, read.to)) return respondProblem(c, deps, 'not-found')
  return respond(c, frame, {
    title: read.subject,
    section: paths.outbox,
    body: mailPage(read, deps.settings.baseUrl),
  })
}

/**
 * One mail may tell of several sites: all mail is for who has them all (an engineer without an address stands in for all engineers),
 * everybody else sees what was sent to them.
 */
function mayReadMail(person: Person, to: string): boolean {
  const standsIn = person.role === 'engineer' && person.sites === '*' && !person.email
  return seesBeyondSites(person) || standsIn || isAmong(to, person.email)
}

/** Is the address one of those in a header such as `Ana <ana@example.org>, bo@example.org`? Whole addresses are compared. */
function isAmong(to: string, email: string | undefined): boolean {
  const plain = (text: string) => (/<([^>]*)>/.exec(text)?.[1] ?? text).trim().toLowerCase()
  return email !== undefined && to.split(',').some((one) => plain(one) === plain(email))
}
