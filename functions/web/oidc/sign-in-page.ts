import type { Context } from 'hono'
import type { WebDeps } from '../deps.ts'
import { frameOf, respond } from '../pages/respond.ts'
import { type Html, html } from '../pages/view/html.ts'
import type { WebEnv } from '../web-env.ts'

export type Said = 'signed-out' | 'start-again' | 'no-role' | 'out-of-reach'

const SAID: Record<Said, { status: 200 | 401 | 403 | 503; words: Html }> = {
  'signed-out': {
    status: 200,
    words: html`<p role="status"><strong>You are signed out here.</strong> On a shared phone or computer, also close the browser.</p>`,
  },
  'start-again': {
    status: 401,
    words: html`<p role="alert"><strong>Signing in was not finished.</strong> It may have taken too long, or was begun in another tab. Start again.</p>`,
  },
  'no-role': {
    status: 403,
    words: html`<p role="alert"><strong>You are known, but have no role here yet.</strong> Ask an administrator to add you to field, quality, engineer or admin.</p>`,
  },
  'out-of-reach': {
    status: 503,
    words: html`<p role="alert"><strong>The sign-in service cannot be reached just now.</strong> Nothing of your work is lost. Try again in a minute.</p>`,
  },
}

/** The page somebody sees who is not led on to the provider. */
export function signInPage(c: Context<WebEnv>, deps: WebDeps, said: Said): Promise<Response> {
  const { status, words } = SAID[said]
  const body = html`<h1>Sign in</h1>
${words}
<p><a class="button" href="/sign-in">Sign in</a></p>`
  return respond(c, frameOf(c, deps), { title: 'Sign in', body, wrong: status !== 200 }, status)
}
