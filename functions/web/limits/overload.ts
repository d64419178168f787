import type { MiddlewareHandler } from 'hono'
import { problem } from '../problems.ts'
import type { WebEnv } from '../web-env.ts'
import { isFile, type Limits } from './limits.ts'

/** A counter that is never above its most. */
function gate(most: number): { enter(): boolean; leave(): void } {
  let inside = 0
  return {
    enter() {
      if (inside >= most) return false
      inside++
      return true
    },
    leave() {
      inside--
    },
  }
}

/**
 * Answers 503 with Retry-After as soon as more is asked at the same time than this process can hold, before anything of the request
 * is read: who is inside goes on at full speed, and who is turned away has lost nothing, because handing in twice changes nothing.
 */
export function refuseOverload(
  limits: Pick<Limits, 'requestsAtOnce' | 'filesAtOnce'>,
): MiddlewareHandler<WebEnv> {
  const requests = gate(limits.requestsAtOnce)
  const files = gate(limits.filesAtOnce)
  return async (c, next) => {
    if (!requests.enter()) return problem(c, 'busy')
    try {
      if (!isFile(c.req.method, c.req.path)) return await next()
      if (!files.enter()) return problem(c, 'busy')
      try {
        return await next()
      } finally {
        files.leave()
      }
    } finally {
      requests.leave()
    }
  }
}
