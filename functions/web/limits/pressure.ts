import type { Clock } from '../../../shared-lib/ports/clock.ts'

/** How hard this process is pressed at this moment. */
export interface Pressure {
  /** A request has come in, one that writes or not; call what it gives when the request has been answered. */
  enter(writes?: boolean): () => void
  /** How many requests are in. */
  inside(): number
  /** How long the request has been in that is the oldest but for `besides` others, ms; 0 when there are not so many. */
  oldestMs(besides: number): number
  /** How long the event loop lately kept others waiting, ms. */
  loopDelayMs(): number
  /** Resolves when no request is in, or after `mostMs` at the latest: for work that can wait and must get on nevertheless. */
  whenIdle(mostMs: number): Promise<void>
  /**
   * Resolves when no request is in and none that writes was for `quietMs`, or after `mostMs` at the latest: for work that is less
   * when more of it has come together.
   */
  whenQuiet(quietMs: number, mostMs: number): Promise<void>
}

export function createPressure(clock: Clock, loopDelayMs: () => number): Pressure {
  const inside = new Set<{ sinceMs: number }>()
  const waiting = new Set<() => void>()
  let wroteAtMs = Number.NEGATIVE_INFINITY
  const whenIdle = (mostMs: number): Promise<void> => {
    if (inside.size === 0) return Promise.resolve()
    return new Promise((resolve) => {
      const go = () => {
        clearTimeout(timer)
        waiting.delete(go)
        resolve()
      }
      const timer = setTimeout(go, mostMs)
      waiting.add(go)
    })
  }
  return {
    loopDelayMs,
    inside: () => inside.size,
    enter(writes = false) {
      const request = { sinceMs: clock.nowMs() }
      inside.add(request)
      return () => {
        inside.delete(request)
        if (writes) wroteAtMs = clock.nowMs()
        if (inside.size === 0) for (const go of waiting) go()
      }
    },
    oldestMs(besides) {
      // A set is in the order of arrival.
      let passed = 0
      for (const { sinceMs } of inside) if (passed++ === besides) return clock.nowMs() - sinceMs
      return 0
    },
    whenIdle,
    async whenQuiet(quietMs, mostMs) {
      const endMs = clock.nowMs() + mostMs
      for (;;) {
        await whenIdle(Math.max(0, endMs - clock.nowMs()))
        const leftMs = Math.min(endMs, wroteAtMs + quietMs) - clock.nowMs()
        if (leftMs <= 0) return
        await new Promise((resolve) => setTimeout(resolve, leftMs))
      }
    },
  }
}
