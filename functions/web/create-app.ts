import type { Hono } from 'hono'
import { mountApi } from './api/mount-api.ts'
import { createFrame } from './app-frame.ts'
import type { WebDeps } from './deps.ts'
import { mountPages } from './pages/mount-pages.ts'
import type { WebEnv } from './web-env.ts'

/** The one web app, the same on one machine and in tests (`app.request`): the API, then the pages. Lambda puts the same parts together. */
export function createApp(deps: WebDeps): Hono<WebEnv> {
  return createFrame(deps, mountApi, mountPages)
}
