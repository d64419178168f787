import type { MiddlewareHandler } from 'hono'
import type { TurnAway } from '../failures.ts'
import type { WebEnv } from '../web-env.ts'
import { isFile, type Limits } from './limits.ts'
import type { Pressure } from './pressure.ts'

const READS = new Set(['GET', 'HEAD', 'OPTIONS'])

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
 * A few requests may wait for something of their own, as for an upload that writes the same electrode: that is not pressure. And
 * where only a few are inside, turning one more away spares nobody.
 */
const A_FEW = 8
const COME_BACK_S = 5

/**
 * Answers 503 with Retry-After before anything of the request is read: as soon as more is asked at the same time than this process
 * can hold, and as soon as those inside wait longer than the limits say. So who is inside is answered in a bounded time, and who is
 * turned away has lost nothing, because handing in twice changes nothing.
 */
export function refuseOverload(
  limits: Pick<Limits, 'requestsAtOnce' | 'filesAtOnce' | 'longestWaitMs' | 'longestLoopDelayMs'>,
  turnAway: TurnAway,
  pressure?: Pressure,
): MiddlewareHandler<WebEnv> {
  const requests = gate(limits.requestsAtOnce)
  const files = gate(limits.filesAtOnce)
  const pressed = () =>
    pressure !== undefined &&
    pressure.inside() > A_FEW &&
    (pressure.oldestMs(A_FEW) > limits.longestWaitMs || pressure.loopDelayMs() > limits.longestLoopDelayMs)
  return async (c, next) => {
    if (pressed() || !requests.enter()) return turnAway(c, 'busy', COME_BACK_S)
    try {
      if (isFile(c.req.method, c.req.path)) {
        // A whole file may take its time: it says nothing about how long others wait.
        if (!files.enter()) return turnAway(c, 'busy', COME_BACK_S)
        try {
          return await next()
        } finally {
          files.leave()
        }
      }
      const leave = pressure?.enter(!READS.has(c.req.method))
      try {
        return await next()
      } finally {
        leave?.()
      }
    } finally {
      requests.leave()
    }
  }
}
