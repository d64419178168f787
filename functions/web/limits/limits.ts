/** How much one process takes at once, and from one person or address in a time. */
export interface Limits {
  /** Requests answered at the same time; one more is told to come back. */
  requestsAtOnce: number
  /** Of those, ones that carry or make a whole file: each may hold some megabytes. */
  filesAtOnce: number
  /** When requests have been inside longer than this, nobody more is let in, ms. */
  longestWaitMs: number
  /** The same for the mean delay of the event loop, ms. */
  longestLoopDelayMs: number
  /** Writes of one person a minute. */
  writesPerMinute: number
  /** Whole files of one person a minute. */
  filesPerMinute: number
  /** Sign-ins and tokens of one address a minute that were not good. */
  failedSignInsPerMinute: number
}

/**
 * For one machine. Chosen above what honest work reaches (a crew of two hundred after a day without signal, a script that hands in
 * a season) and below what fills the memory; in the cloud each Lambda has one request and the gateway throttles.
 */
export const ONE_MACHINE_LIMITS: Limits = {
  requestsAtOnce: 256,
  filesAtOnce: 24,
  longestWaitMs: 3000,
  longestLoopDelayMs: 500,
  writesPerMinute: 6000,
  filesPerMinute: 240,
  failedSignInsPerMinute: 30,
}

/** Addresses that take or give whole files. */
const FILES = /^\/(?:api\/uploads(?:\/[^/]+\/content)?|uploads(?:\/.*)?|api\/register|api\/export\/.*)$/

/** Does this request carry a whole file, or ask for one? */
export function isFile(method: string, path: string): boolean {
  return FILES.test(path) && (method !== 'GET' || path.startsWith('/api/export/'))
}
