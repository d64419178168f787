import type { MiddlewareHandler } from 'hono'
import type { Log } from '../../shared-lib/ports/handle-batch.ts'
import type { WebEnv } from './web-env.ts'

const SAFE = new Set(['GET', 'HEAD', 'OPTIONS'])

/**
 * Writes down each thing sent that was not taken (status 400 and above), so that a failure nobody reports is seen: which route, which
 * problem, which role; nothing of what was sent and nobody's name. Counting these lines counts the refusals.
 */
export function noteRefusals(log: Log): MiddlewareHandler<WebEnv> {
  return async (c, next) => {
    await next()
    if (SAFE.has(c.req.method) || c.res.status < 400) return
    log({
      level: 'info',
      message: 'refused',
      requestId: c.get('requestId'),
      method: c.req.method,
      // The route, not the address: an address may carry ids or a ticket.
      route: c.req.routePath,
      status: c.res.status,
      role: c.get('person')?.role ?? null,
    })
  }
}
