import type { Hono } from 'hono'
import type { WebDeps } from './deps.ts'
import type { WebEnv } from './session.ts'

/** Serves what was built for the browser, to everybody: scripts, service worker, manifest, icon. */
export function mountAssets(app: Hono<WebEnv>, deps: Pick<WebDeps, 'assets'>): void {
  for (const asset of deps.assets ?? [])
    app.get(asset.path, (c) =>
      c.body(asset.body, 200, {
        'Content-Type': asset.contentType,
        'Cache-Control': asset.cacheControl,
        'X-Content-Type-Options': 'nosniff',
      }),
    )
}
