import type { Context, Handler } from 'hono'
import type { ContentfulStatusCode } from 'hono/utils/http-status'
import type { Person } from '../../../shared-lib/ports/identity.ts'
import { scriptPaths } from '../assets.ts'
import type { WebDeps } from '../deps.ts'
import { headersOf, PROBLEMS, type ProblemName } from '../problems.ts'
import type { WebEnv } from '../web-env.ts'
import { type Html, html } from './view/html.ts'
import { type Frame, type PageParts, page } from './view/layout.ts'
import { withQuery } from './view/paths.ts'

/** A page runs no script, loads nothing from elsewhere and cannot be framed. */
const PAGE_POLICY =
  "default-src 'none'; style-src 'self'; img-src 'self' data:; manifest-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"

/** A page that named scripts runs files of this service, nothing inline, and they reach this service alone. */
const SCRIPT_POLICY = `${PAGE_POLICY}; script-src 'self'; connect-src 'self'; worker-src 'self'`

const NOBODY = '-'

/** Everything a page's handler is given. */
export interface PageCall {
  c: Context<WebEnv>
  deps: WebDeps
  person: Person
  frame: Frame
}

export function frameOf(c: Context<WebEnv>, deps: WebDeps): Frame {
  return {
    // A request that failed while the session was being read is answered as to nobody.
    person: c.get('person') ?? null,
    operatorName: deps.settings.operatorName,
    ...(deps.settings.controlRoomPhone === undefined
      ? {}
      : { controlRoomPhone: deps.settings.controlRoomPhone }),
    hasOutbox: deps.outbox !== undefined,
    ...(deps.assets === undefined ? {} : { assets: deps.assets }),
    nowMs: deps.clock.nowMs(),
  }
}

/** A page as an answer. Never kept by anyone but the browser that asked, and by that one only while it is being typed into. */
export async function respond(
  c: Context<WebEnv>,
  frame: Frame,
  parts: PageParts,
  status: ContentfulStatusCode = 200,
): Promise<Response> {
  const scripts = scriptPaths(frame.assets, parts.scripts ?? [])
  return c.body(String(await page(frame, parts, scripts)), status, {
    'Content-Type': 'text/html; charset=utf-8',
    'Content-Security-Policy': scripts.length === 0 ? PAGE_POLICY : SCRIPT_POLICY,
    'Cache-Control': parts.typedInto ? 'private, no-cache' : 'no-store',
    'Referrer-Policy': 'same-origin',
    'X-Content-Type-Options': 'nosniff',
    // A network that answers with a page of its own does not send this: the service worker tells ours by it, and whose it is.
    'Stakeline-Page': frame.person === null ? NOBODY : encodeURIComponent(frame.person.id),
  })
}

/** Where to go from a problem, when it is not the start. In a tab of its own, what was typed in this one stays. */
const WAY_ON: Partial<Record<ProblemName, Html>> = {
  'not-signed-in': html`<a class="button" href="/sign-in" target="_blank" rel="noopener">Sign in, in a new tab</a>`,
}

/** A problem of the common catalogue as a page. */
export async function respondProblem(
  c: Context<WebEnv>,
  deps: WebDeps,
  name: ProblemName,
  detail?: string,
): Promise<Response> {
  const kind = PROBLEMS[name]
  const answer = await respond(
    c,
    frameOf(c, deps),
    {
      title: kind.title,
      body: html`<h1>${kind.title}</h1><p>${detail ?? kind.detail}</p><p>${WAY_ON[name] ?? html`<a href="/">Back to the start</a>`}</p>`,
    },
    kind.status,
  )
  for (const [header, value] of Object.entries(headersOf(name))) answer.headers.set(header, value)
  return answer
}

/** A page for people who are signed in; anyone else is led to the sign-in page and back. */
export function signedIn(deps: WebDeps, handle: (call: PageCall) => Promise<Response>): Handler<WebEnv> {
  return async (c) => {
    const person = c.get('person')
    if (!person) {
      const back =
        c.req.method === 'GET' ? new URL(c.req.url).pathname + new URL(c.req.url).search : undefined
      return c.redirect(withQuery('/sign-in', { back }), 303)
    }
    return handle({ c, deps, person, frame: frameOf(c, deps) })
  }
}

/** A decoded part of the address; a route always has it. */
export function pathPart(c: Context<WebEnv>, name: string): string {
  return c.req.param(name) ?? ''
}

/** One value of the query, trimmed; absent when empty. */
export function queryPart(c: Context<WebEnv>, name: string): string | undefined {
  const value = c.req.query(name)?.trim()
  return value === '' ? undefined : value
}
