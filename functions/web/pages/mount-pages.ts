import type { Hono } from 'hono'
import { mountCalendarFeed } from '../calendar-feed.ts'
import type { WebDeps } from '../deps.ts'
import { pagesNeedSignIn } from '../pages-need-sign-in.ts'
import { mountProblemPages } from '../problem-pages.ts'
import { mountAssets } from '../serve-assets.ts'
import { mountSignIn } from '../sign-in.ts'
import type { WebEnv } from '../web-env.ts'
import { registerPages } from './register-pages.ts'

/** Everything that is not the API: what is open to everybody, signing in, then the pages, which need a session. */
export function mountPages(app: Hono<WebEnv>, deps: WebDeps): void {
  mountProblemPages(app)
  mountAssets(app, deps)
  mountCalendarFeed(app, deps)
  const signIn = deps.mountSignIn ?? mountSignIn
  signIn(app, deps)
  app.use(pagesNeedSignIn(deps))
  registerPages(app, deps)
}
