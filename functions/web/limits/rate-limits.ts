import type { HttpBindings } from '@hono/node-server'
import type { Context, MiddlewareHandler } from 'hono'
import type { RateLimiterRes } from 'rate-limiter-flexible'
// Past the package's index, which brings its two dozen database clients into every bundle.
import RateLimiterMemory from 'rate-limiter-flexible/lib/RateLimiterMemory.js'
import type { TurnAway } from '../failures.ts'
import type { WebEnv } from '../web-env.ts'
import { isFile, type Limits } from './limits.ts'

const MINUTE_S = 60

/** Seconds until this key may come again, or null when it may now. Counts one. */
async function waitS(limiter: RateLimiterMemory, key: string): Promise<number | null> {
  return limiter.consume(key).then(
    () => null,
    (full: RateLimiterRes) => Math.max(1, Math.ceil(full.msBeforeNext / 1000)),
  )
}

/** The address of the other end of the connection; '' where there is none (tests, Lambda). A header could be made up. */
function addressOf(c: Context<WebEnv>): string {
  const { incoming } = (c.env ?? {}) as Partial<HttpBindings>
  return incoming?.socket?.remoteAddress ?? ''
}

const SAFE = new Set(['GET', 'HEAD', 'OPTIONS'])

/** Writes and whole files of one person, by the minute; 429 with Retry-After beyond. Comes after `whoIsAsking`. */
export function limitWrites(
  limits: Pick<Limits, 'writesPerMinute' | 'filesPerMinute'>,
  turnAway: TurnAway,
): MiddlewareHandler<WebEnv> {
  const writes = new RateLimiterMemory({ points: limits.writesPerMinute, duration: MINUTE_S })
  const files = new RateLimiterMemory({ points: limits.filesPerMinute, duration: MINUTE_S })
  return async (c, next) => {
    const person = c.get('person')
    const file = isFile(c.req.method, c.req.path)
    if (!person || (SAFE.has(c.req.method) && !file)) return next()
    const wait = await waitS(file ? files : writes, person.id)
    return wait === null ? next() : turnAway(c, 'too-many', wait)
  }
}

/**
 * Tokens and sign-in links that were not good, by address and minute: beyond the limit the answer is 429 instead of 401, for those
 * alone. A good token is never turned away, so nobody can lock others out; tokens are signed and cannot be guessed.
 */
export function limitFailedSignIns(
  limits: Pick<Limits, 'failedSignInsPerMinute'>,
  turnAway: TurnAway,
): MiddlewareHandler<WebEnv> {
  const failed = new RateLimiterMemory({ points: limits.failedSignInsPerMinute, duration: MINUTE_S })
  return async (c, next) => {
    await next()
    const showed = c.req.header('Authorization') !== undefined || c.req.query('token') !== undefined
    if (c.res.status !== 401 || !showed) return
    const wait = await waitS(failed, addressOf(c))
    if (wait !== null) c.res = await turnAway(c, 'too-many', wait)
  }
}
