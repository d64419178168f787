import type { Hono } from 'hono'
import type { WebDeps } from './deps.ts'
import { answerPacked } from './packed-answer.ts'
import type { WebEnv } from './web-env.ts'

/** Serves what was built for the browser, to everybody: scripts, service worker, manifest, icon. */
export function mountAssets(app: Hono<WebEnv>, deps: Pick<WebDeps, 'assets'>): void {
  for (const { path, body, contentType, cacheControl } of deps.assets ?? []) {
    const file = { text: body, headers: { 'Content-Type': contentType, 'Cache-Control': cacheControl } }
    app.get(path, (c) => answerPacked(c, file))
  }
}
