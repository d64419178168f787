import { createHash } from 'node:crypto'
import type { Context, MiddlewareHandler } from 'hono'
import { deleteCookie, getCookie, setCookie } from 'hono/cookie'
import { type Person, SESSION_LIFE_S } from '../../shared-lib/ports/identity.ts'
import { renewCalendarRights } from './calendar-feed.ts'
import type { WebDeps } from './deps.ts'
import { problem } from './problems.ts'
import type { WebEnv } from './web-env.ts'

export const SESSION_COOKIE = 'stakeline_session'
/** Browsers keep a cookie 400 days at most (RFC 6265bis). */
const LONGEST_COOKIE_S = 400 * 24 * 3600

/** What stands for a session where it is written down that it ended: the token itself is kept nowhere. */
const digestOf = (token: string): string => createHash('sha256').update(token).digest('base64url')

/**
 * Puts the person into the context. A bearer token that is sent counts alone: the cookie is not looked at then. A session that was
 * signed out is nobody's, wherever its cookie turns up again.
 */
export function whoIsAsking(deps: Pick<WebDeps, 'identity' | 'ledger'>): MiddlewareHandler<WebEnv> {
  return async (c, next) => {
    const header = c.req.header('Authorization')
    const token = header === undefined ? getCookie(c, SESSION_COOKIE) : /^Bearer +(\S+)$/i.exec(header)?.[1]
    const use = header === undefined ? 'session' : 'bearer'
    const signed = token ? await deps.identity.verify(token, [use]) : null
    const ended = signed && use === 'session' && (await deps.ledger.isSessionEnded(digestOf(token!)))
    const person = ended ? null : signed
    c.set('person', person)
    c.set('signedInBy', person ? use : null)
    await next()
  }
}

const SAFE_METHODS = new Set(['GET', 'HEAD', 'OPTIONS'])

/**
 * Refuses what another web site makes a signed-in browser send. Every unsafe method counts, whatever its content type, and a
 * request that names no origin is refused too: browsers name it on each of them.
 */
export function sameOriginOnly(deps: Pick<WebDeps, 'settings'>): MiddlewareHandler<WebEnv> {
  const home = new URL(deps.settings.baseUrl).origin
  return async (c, next) => {
    if (SAFE_METHODS.has(c.req.method) || c.get('signedInBy') !== 'session') return next()
    const origin = c.req.header('Origin')
    const fromHere = origin !== undefined && (origin === home || origin === new URL(c.req.url).origin)
    return fromHere ? next() : problem(c, 'other-origin')
  }
}

export async function startSession(c: Context<WebEnv>, deps: WebDeps, person: Person): Promise<void> {
  const [{ token, maxAgeS }] = await Promise.all([
    deps.identity.issueSession(person),
    renewCalendarRights(deps, person),
  ])
  setCookie(c, SESSION_COOKIE, token, {
    httpOnly: true,
    sameSite: 'Lax',
    secure: deps.settings.secureCookies,
    path: '/',
    maxAge: Math.min(maxAgeS, LONGEST_COOKIE_S),
  })
}

/** Ends the session of this browser, here and in every copy of its cookie. */
export async function endSession(c: Context<WebEnv>, deps: WebDeps): Promise<void> {
  const token = getCookie(c, SESSION_COOKIE)
  if (token && c.get('signedInBy') === 'session') {
    const nowMs = deps.clock.nowMs()
    await deps.ledger.endSession(digestOf(token), { nowMs, untilMs: nowMs + SESSION_LIFE_S * 1000 })
  }
  deleteCookie(c, SESSION_COOKIE, { path: '/', secure: deps.settings.secureCookies })
}
