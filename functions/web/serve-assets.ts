import type { Hono } from 'hono'
import type { WebDeps } from './deps.ts'
import { answerPacked } from './packed-answer.ts'
import type { WebEnv } from './web-env.ts'

/** Serves what was built for the browser, to everybody: scripts, service worker, manifest, icon. */
export function mountAssets(app: Hono<WebEnv>, deps: Pick<WebDeps, 'assets'>): void {
  for (const { path, body, encoding, contentType, cacheControl } of deps.assets ?? []) {
    const headers = { 'Content-Type': contentType, 'Cache-Control': cacheControl }
    if (encoding === 'base64') {
      // Pictures are packed already.
      const bytes = Buffer.from(body, 'base64')
      app.get(path, (c) => c.body(bytes, 200, { ...headers, 'X-Content-Type-Options': 'nosniff' }))
    } else {
      const file = { text: body, headers }
      app.get(path, (c) => answerPacked(c, file))
    }
  }
}
