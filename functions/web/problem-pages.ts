import type { Hono } from 'hono'
import { PROBLEMS } from './problems.ts'
import type { WebEnv } from './web-env.ts'

/** `/problems/<name>`: what a problem document's `type` points to, in plain text. Open: it is the same for everybody. */
export function mountProblemPages(app: Hono<WebEnv>): void {
  for (const [name, kind] of Object.entries(PROBLEMS))
    app.get(`/problems/${name}`, (c) => c.text(`${kind.title} (HTTP ${kind.status})\n\n${kind.detail}\n`))
}
