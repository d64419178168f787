import type { MiddlewareHandler } from 'hono'
import type { WebDeps } from './deps.ts'
import { respondProblem } from './pages/respond.ts'
import type { WebEnv } from './web-env.ts'

/** What a browser fetches before anybody is signed in: the same for everybody, nobody's data. */
const FOR_EVERYBODY =
  /^\/(?:assets\/.*|sw\.js|manifest\.webmanifest|favicon\.ico|apple-touch-icon\.png|robots\.txt)$/

/**
 * No page without a session. A visit is led to the sign-in page and comes back after it; a form that was sent is answered 401
 * instead of led away, so that going back finds it as it was filled in.
 */
export function pagesNeedSignIn(deps: WebDeps): MiddlewareHandler<WebEnv> {
  return async (c, next) => {
    if (c.get('person') || FOR_EVERYBODY.test(c.req.path)) return next()
    if (c.req.method !== 'GET' && c.req.method !== 'HEAD')
      return respondProblem(
        c,
        deps,
        'not-signed-in',
        'Your sign-in has run out, so nothing was kept of what you sent; what you typed is still there. Sign in, come back to this tab, go one page back and send it again.',
      )
    const { pathname, search } = new URL(c.req.url)
    return c.redirect(`/sign-in?back=${encodeURIComponent(pathname + search)}`, 303)
  }
}
