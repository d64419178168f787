import { Hono } from 'hono'
import { methodNotAllowed } from 'hono/method-not-allowed'
import { requestId } from 'hono/request-id'
import type { WebDeps } from './deps.ts'
import { answerError, answerNotFound, turnAway } from './failures.ts'
import { refuseOverload } from './limits/overload.ts'
import { limitFailedSignIns, limitWrites } from './limits/rate-limits.ts'
import { noteRefusals } from './note-refusals.ts'
import { problem } from './problems.ts'
import { securityHeaders } from './security-headers.ts'
import { sameOriginOnly, whoIsAsking } from './session.ts'
import type { WebEnv } from './web-env.ts'

/** A part of the web app: puts its routes into the frame. */
export type AppPart = (app: Hono<WebEnv>, deps: WebDeps) => void

/**
 * What stands around every route, whichever parts the app has. In order: a request id and the security headers on every answer; who
 * is asking; the same-origin check; then the parts.
 */
export function createFrame(deps: WebDeps, ...parts: readonly AppPart[]): Hono<WebEnv> {
  const app = new Hono<WebEnv>()
  app.use(requestId({ generator: () => deps.newId(), limitLength: 100 }))
  app.use(securityHeaders(deps.settings.secureCookies))
  app.get('/healthz', (c) => c.json({ status: 'ok' }, 200, { 'Cache-Control': 'no-store' }))
  if (deps.log) app.use(noteRefusals(deps.log))
  const { limits } = deps.settings
  const away = turnAway(deps)
  if (limits) app.use(refuseOverload(limits, away, deps.pressure), limitFailedSignIns(limits, away))
  app.use(
    methodNotAllowed({
      app,
      onMethodNotAllowed: (c, methods) =>
        problem(c, 'method-not-allowed', { headers: { Allow: methods.join(', ') } }),
    }),
  )
  app.use(whoIsAsking(deps))
  if (limits) app.use(limitWrites(limits, away))
  app.use(sameOriginOnly(deps))
  for (const mount of parts) mount(app, deps)
  app.notFound((c) => answerNotFound(c, deps))
  app.onError((error, c) => answerError(error, c, deps))
  return app
}
