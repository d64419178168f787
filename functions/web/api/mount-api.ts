import type { Hono } from 'hono'
import type { WebDeps } from '../deps.ts'
import { answerNotFound } from '../failures.ts'
import type { WebEnv } from '../web-env.ts'
import { apiRoutes } from './api-routes.ts'
import { mountRoutes } from './route.ts'

/** Everything under `/api/`. */
export function mountApi(app: Hono<WebEnv>, deps: WebDeps): void {
  mountRoutes(app, deps, apiRoutes())
  app.all('/api/*', (c) => answerNotFound(c, deps))
}
