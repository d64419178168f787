import { monitorEventLoopDelay } from 'node:perf_hooks'

const RESOLUTION_MS = 20
const WINDOW_MS = 1000

/** The mean delay of this thread's event loop over the last full second, ms: one pause does not make it high, steady pressure does. */
export function watchLoopDelay(): { loopDelayMs(): number; stop(): void } {
  const seen = monitorEventLoopDelay({ resolution: RESOLUTION_MS })
  seen.enable()
  let lastMs = 0
  const timer = setInterval(() => {
    lastMs = seen.count > 0 ? Math.max(0, seen.mean / 1e6 - RESOLUTION_MS) : 0
    seen.reset()
  }, WINDOW_MS).unref()
  return {
    loopDelayMs: () => lastMs,
    stop() {
      clearInterval(timer)
      seen.disable()
    },
  }
}
