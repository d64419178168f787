import { Hono } from 'hono'
import { methodNotAllowed } from 'hono/method-not-allowed'
import { requestId } from 'hono/request-id'
import { apiRoutes } from './api/api-routes.ts'
import { mountRoutes } from './api/route.ts'
import { mountCalendarFeed } from './calendar-feed.ts'
import type { WebDeps } from './deps.ts'
import { answerError, answerNotFound } from './failures.ts'
import { refuseOverload } from './limits/overload.ts'
import { limitFailedSignIns, limitWrites } from './limits/rate-limits.ts'
import { noteRefusals } from './note-refusals.ts'
import { registerPages } from './pages/register-pages.ts'
import { pagesNeedSignIn } from './pages-need-sign-in.ts'
import { mountProblemPages } from './problem-pages.ts'
import { problem } from './problems.ts'
import { securityHeaders } from './security-headers.ts'
import { mountAssets } from './serve-assets.ts'
import { sameOriginOnly, whoIsAsking } from './session.ts'
import { mountSignIn } from './sign-in.ts'
import type { WebEnv } from './web-env.ts'

/**
 * The one web app, the same on Lambda, on one machine and in tests (`app.request`). In order: a request id and the security
 * headers on every answer; who is asking; the same-origin check; the API; then the pages, which need a session.
 */
export function createApp(deps: WebDeps): Hono<WebEnv> {
  const app = new Hono<WebEnv>()
  app.use(requestId({ generator: () => deps.newId(), limitLength: 100 }))
  app.use(securityHeaders(deps.settings.secureCookies))
  app.get('/healthz', (c) => c.json({ status: 'ok' }, 200, { 'Cache-Control': 'no-store' }))
  if (deps.log) app.use(noteRefusals(deps.log))
  const { limits } = deps.settings
  if (limits) app.use(refuseOverload(limits, deps.pressure), limitFailedSignIns(limits))
  app.use(
    methodNotAllowed({
      app,
      onMethodNotAllowed: (c, methods) =>
        problem(c, 'method-not-allowed', { headers: { Allow: methods.join(', ') } }),
    }),
  )
  app.use(whoIsAsking(deps))
  if (limits) app.use(limitWrites(limits))
  app.use(sameOriginOnly(deps))
  mountRoutes(app, deps, apiRoutes())
  app.all('/api/*', (c) => answerNotFound(c, deps))
  mountProblemPages(app)
  mountAssets(app, deps)
  mountCalendarFeed(app, deps)
  const signIn = deps.mountSignIn ?? mountSignIn
  signIn(app, deps)
  app.use(pagesNeedSignIn(deps))
  registerPages(app, deps)
  app.notFound((c) => answerNotFound(c, deps))
  app.onError((error, c) => answerError(error, c, deps))
  return app
}
