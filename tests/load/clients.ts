import type { Role } from '../../shared-lib/ports/identity.ts'
import { mintToken, readOrMakeKey } from '../../shared-lib/ports/local-tokens.ts'

/** What one kind of request came to. Times are of answered requests, ms. */
export interface Tally {
  timesMs: number[]
  byStatus: Map<number, number>
  /** Connections that gave no answer. */
  broken: number
  /** 503 and 429 answers without a usable Retry-After. */
  withoutRetryAfter: number
}
export const newTally = (): Tally => ({ timesMs: [], byStatus: new Map(), broken: 0, withoutRetryAfter: 0 })

export const percentile = (times: readonly number[], share: number): number => {
  const sorted = [...times].sort((a, b) => a - b)
  return sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))] ?? 0
}
export const statuses = (t: Tally): string =>
  [...t.byStatus]
    .sort(([a], [b]) => a - b)
    .map(([status, n]) => `${status}: ${n}`)
    .join(', ')
/** Answers of 500 and above that did not say when to come back. */
export const failures = (t: Tally): number =>
  t.broken +
  t.withoutRetryAfter +
  [...t.byStatus].reduce((n, [s, c]) => n + (s >= 500 && s !== 503 ? c : 0), 0)

/** Tokens of many people of one role, made with the service's own key. */
export async function tokensFor(dataDir: string, role: Role, count: number): Promise<string[]> {
  const key = await readOrMakeKey(dataDir)
  return Promise.all(
    Array.from({ length: count }, (_, i) => {
      const id = `local:${role}:${i}`
      return mintToken(key, { id, name: id, role, sites: '*' }, 'bearer', 6 * 3600, Date.now())
    }),
  )
}

/** One request, counted and timed. Null when no answer came. */
export async function ask(
  tally: Tally,
  url: string,
  token: string,
  init: RequestInit = {},
): Promise<Response | null> {
  const startMs = performance.now()
  try {
    const answer = await fetch(url, {
      ...init,
      redirect: 'manual',
      headers: { authorization: `Bearer ${token}`, ...(init.headers as Record<string, string>) },
    })
    const body = await answer.arrayBuffer()
    tally.timesMs.push(performance.now() - startMs)
    tally.byStatus.set(answer.status, (tally.byStatus.get(answer.status) ?? 0) + 1)
    const busy = answer.status === 503 || answer.status === 429
    if (busy && !(Number(answer.headers.get('retry-after')) > 0)) tally.withoutRetryAfter++
    return new Response(answer.status === 204 || answer.status === 304 ? null : body, answer)
  } catch {
    tally.broken++
    return null
  }
}

/** The same until it is taken, waiting as the service says (a tenth to a half of it, so that a test ends). */
export async function askUntilTaken(
  tally: Tally,
  url: string,
  token: string,
  init: RequestInit,
): Promise<Response> {
  for (let attempt = 0; attempt < 200; attempt++) {
    const answer = await ask(tally, url, token, init)
    if (answer && answer.status < 429) return answer
    const waitS = Number(answer?.headers.get('retry-after') ?? 1)
    await new Promise((resolve) => setTimeout(resolve, 1000 * waitS * (0.1 + 0.4 * Math.random())))
  }
  throw new Error(`${url} was never taken`)
}
