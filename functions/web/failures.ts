import type { Context } from 'hono'
import { LedgerError, type LedgerErrorCode } from '../../shared-lib/ledger/ledger-error.ts'
import type { WebDeps } from './deps.ts'
import { respondProblem } from './pages/respond.ts'
import { type ProblemName, problem } from './problems.ts'
import type { WebEnv } from './web-env.ts'

const isForPeople = (c: Context<WebEnv>) =>
  !c.req.path.startsWith('/api/') && (c.req.header('Accept') ?? '').includes('text/html')

/** A problem as a page for people, as a document for programs. */
function answerProblem(c: Context<WebEnv>, deps: WebDeps, name: ProblemName): Response | Promise<Response> {
  return isForPeople(c) ? respondProblem(c, deps, name) : problem(c, name)
}

/** How somebody is asked to come back later. */
export type TurnAway = (c: Context<WebEnv>, name: 'busy' | 'too-many', waitS: number) => Promise<Response>

/** Turning away as a page or a document, with Retry-After; who has sent a form hears that it is not lost. */
export function turnAway(deps: WebDeps): TurnAway {
  return async (c, name, waitS) => {
    const headers = { 'Retry-After': String(waitS) }
    if (!isForPeople(c)) return problem(c, name, { headers })
    const sent = c.req.method === 'POST'
    const again = `in ${waitS} second${waitS === 1 ? '' : 's'}`
    const answer = await respondProblem(
      c,
      deps,
      name,
      sent
        ? `Nothing was taken in, and nothing you typed is lost: go back with your browser and send it again ${again}. Sending twice changes nothing.`
        : `Load this page again ${again}.`,
    )
    answer.headers.set('Retry-After', headers['Retry-After'])
    return answer
  }
}

export function answerNotFound(c: Context<WebEnv>, deps: WebDeps): Response | Promise<Response> {
  return answerProblem(c, deps, 'not-found')
}

/** What the ledger refused: busy for the moment, or something that no repeat makes fit (an id or an item that is too long). */
const LEDGER_PROBLEMS: Record<LedgerErrorCode, ProblemName> = {
  overloaded: 'busy',
  'bad-key': 'not-storable',
  'bad-number': 'not-storable',
  'item-too-large': 'not-storable',
  'unknown-version': 'internal',
}

function writeDown(error: Error, c: Context<WebEnv>, { log }: WebDeps, name: ProblemName): void {
  const line = {
    level: name === 'internal' ? ('error' as const) : ('warn' as const),
    message: 'a request failed',
    requestId: c.get('requestId'),
    method: c.req.method,
    // The route, not the address: an address may carry ids or a token.
    route: c.req.routePath,
    error: error.stack ?? String(error),
  }
  if (log) log(line)
  else console.error(JSON.stringify(line))
}

/** What nobody foresaw: written down with the request's id, answered without anything internal. */
export function answerError(error: Error, c: Context<WebEnv>, deps: WebDeps): Response | Promise<Response> {
  const name = error instanceof LedgerError ? LEDGER_PROBLEMS[error.code] : 'internal'
  // Who went away in the middle of sending is no fault of ours, and hears no answer.
  const wentAway = c.req.raw.signal.aborted
  if (name !== 'not-storable' && !wentAway) writeDown(error, c, deps, name)
  return answerProblem(c, deps, name)
}
