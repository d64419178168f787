import { setTimeout as wait } from 'node:timers/promises'
import { CannotRun } from '../exit-status.ts'

/** What a running service answered: the status and the body as parsed JSON (null when it is none). */
export interface Answer {
  status: number
  body: unknown
  /** Where a redirect points; null otherwise. Redirects are not followed: a token goes where it was told to go. */
  location: string | null
}

interface ServiceRequest {
  method: 'GET' | 'POST' | 'PUT'
  /** Absolute, or relative to the service's address (`api/uploads`). */
  path: string
  headers?: Record<string, string>
  /** Made anew for each attempt, because a body can be sent once only. */
  body?: () => Promise<Blob | FormData | string>
  timeoutMs: number
}

export interface Service {
  baseUrl: string
  /** Repeats on faults of the network and on answers that say "later"; throws {@link CannotRun} when it stays so. */
  ask(request: ServiceRequest): Promise<Answer>
}

const ATTEMPTS = 6
/** Nobody listens there, or there is no such host: more likely a wrong address than a short trouble. */
const NOBODY = new Set(['ECONNREFUSED', 'ENOTFOUND'])
const ATTEMPTS_AT_NOBODY = 4
const FIRST_WAIT_MS = 500
const LONGEST_WAIT_MS = 15_000
/** Too many, or down for a moment. A 500 is not among them: the same request would fail the same way. */
const LATER = new Set([429, 502, 503, 504])

/** The address without a trailing slash or `/api`. Throws {@link CannotRun} on anything that is no http address. */
export function serviceUrl(given: string): string {
  const url = URL.parse(given)
  if (!url || !/^https?:$/.test(url.protocol))
    throw new CannotRun(`${given} is no address of a service. Give it like http://127.0.0.1:4700.`)
  if (url.username || url.password)
    throw new CannotRun('Give the token by --token-file or STAKELINE_TOKEN, not inside the address.')
  return `${url.origin}${url.pathname}`.replace(/\/+$/, '').replace(/\/api$/, '')
}

/**
 * @param token sent to the service's own address only, never to another host an upload ticket may name
 * @param told called before each wait, so that a person sees why nothing moves
 */
export function createService(baseUrl: string, token: string, told: (message: string) => void): Service {
  const once = async (request: ServiceRequest): Promise<Answer & { retryAfterMs: number | null }> => {
    const url = new URL(request.path, `${baseUrl}/`)
    const own = url.origin === new URL(baseUrl).origin
    const answer = await fetch(url, {
      method: request.method,
      headers: { ...(own ? { authorization: `Bearer ${token}` } : {}), ...request.headers },
      body: (await request.body?.()) ?? null,
      redirect: 'manual',
      signal: AbortSignal.timeout(request.timeoutMs),
    })
    const text = await answer.text()
    const after = Number(answer.headers.get('retry-after') ?? Number.NaN)
    return {
      status: answer.status,
      body: parsed(text),
      location: answer.headers.get('location'),
      retryAfterMs: Number.isFinite(after) ? after * 1000 : null,
    }
  }
  return {
    baseUrl,
    async ask(request) {
      for (let attempt = 1; ; attempt++) {
        const outcome = await once(request).catch((error: unknown) => faultOf(error))
        if (!('fault' in outcome) && !LATER.has(outcome.status)) return outcome
        const why = 'fault' in outcome ? outcome.fault : `it answered ${outcome.status}`
        const most = 'fault' in outcome && NOBODY.has(outcome.fault) ? ATTEMPTS_AT_NOBODY : ATTEMPTS
        if (attempt >= most)
          throw new CannotRun(
            `No service could be reached at ${baseUrl} (${why}) in ${attempt} tries. Start it (npm start) or check the address, then run this again: what has arrived already is not stored twice.`,
          )
        const backOffMs = Math.min(LONGEST_WAIT_MS, FIRST_WAIT_MS * 2 ** (attempt - 1))
        const asked = 'fault' in outcome ? null : outcome.retryAfterMs
        const waitMs = Math.min(60_000, asked ?? backOffMs)
        told(`No answer yet (${why}); trying again in ${(waitMs / 1000).toFixed(1)} s.`)
        await wait(waitMs)
      }
    },
  }
}

function parsed(text: string): unknown {
  try {
    return JSON.parse(text)
  } catch {
    return null
  }
}

/** What kept a request from being answered, in a few words. Anything that is no fault of the network is thrown on. */
function faultOf(error: unknown): { fault: string } {
  if (error instanceof DOMException && error.name === 'TimeoutError') return { fault: 'it took too long' }
  if (error instanceof TypeError && error.cause instanceof Error) {
    const { cause } = error
    return { fault: 'code' in cause ? String(cause.code) : cause.message }
  }
  throw error
}

/** A refusal as a sentence for people, from problem details (RFC 9457) where the service gave some. */
export function refusalText({ status, body, location }: Answer): string {
  const words = body as { title?: unknown; detail?: unknown } | null
  const said = [words?.title, words?.detail].filter((w) => typeof w === 'string').join(': ')
  if (status >= 300 && status < 400)
    return `The service has moved${location ? ` to ${location}` : ''}: give that address with --to.`
  if (status === 401)
    return `The token was not taken${said ? ` (${said})` : ''}. Make a new one with \`stakeline token --role …\`.`
  if (status === 404 && !said)
    return 'There is no stakeline service at this address, or it is an older one. Check --to.'
  return said ? `The service refused it: ${said}` : `The service refused it with status ${status}.`
}
