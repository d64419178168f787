import type { Context, Hono } from 'hono'
import { deleteCookie, getCookie, setCookie } from 'hono/cookie'
import type { WebDeps } from './deps.ts'
import { ownPath } from './own-path.ts'
import { frameOf, respond } from './pages/respond.ts'
import { type Html, html, nothing } from './pages/view/html.ts'
import { endSession, startSession } from './session.ts'
import type { WebEnv } from './web-env.ts'

/** Where somebody wanted to go before they were asked to sign in: mostly the link of a mail. */
const WANTED_COOKIE = 'stakeline_wanted'
const WANTED_LIFE_S = 15 * 60

type Said = 'nothing' | 'not-good' | 'signed-out'

function said(what: Said): Html {
  if (what === 'not-good')
    return html`<p role="alert"><strong>This sign-in link is not good any more, or was not copied whole.</strong> Take a fresh one.</p>`
  if (what === 'signed-out') return html`<p role="status"><strong>You are signed out.</strong></p>`
  return nothing
}

function signInPage(c: Context<WebEnv>, deps: WebDeps, what: Said): Promise<Response> {
  const body = html`<h1>Sign in</h1>
${said(what)}
<p>Open one of the sign-in links that the service prints when it starts, one for each role. A link signs you in on this browser.</p>
<p>No link at hand? Whoever runs the service prints a token with <code>npx stakeline token --role field</code> (or <code>quality</code>, <code>engineer</code>, <code>admin</code>). Paste the token, or the whole link, here.</p>
<form method="get" action="/sign-in">
<p><label for="token">Token or sign-in link</label><br>
<input id="token" name="token" type="text" autocomplete="off" autocapitalize="off" spellcheck="false"></p>
<p><button type="submit">Sign in</button></p>
</form>`
  const wrong = what === 'not-good'
  return respond(c, frameOf(c, deps), { title: 'Sign in', body, wrong }, wrong ? 401 : 200)
}

/** A token as pasted: alone, or inside the whole link. */
function tokenIn(pasted: string): string {
  const text = pasted.trim()
  return /[?&]token=([^&\s]+)/.exec(text)?.[1] ?? text
}

function keepWanted(c: Context<WebEnv>, deps: WebDeps, path: string | null): void {
  if (path === null || path === '/') return
  setCookie(c, WANTED_COOKIE, path, {
    httpOnly: true,
    sameSite: 'Lax',
    secure: deps.settings.secureCookies,
    path: '/sign-in',
    maxAge: WANTED_LIFE_S,
  })
}

/** `/sign-in` and `/sign-out`. A link signs in and leads on at once, so that the token does not stay in the address line. */
export function mountSignIn(app: Hono<WebEnv>, deps: WebDeps): void {
  app.get('/sign-in', async (c) => {
    const pasted = c.req.query('token')
    if (pasted === undefined) {
      keepWanted(c, deps, ownPath(c.req.query('back')))
      return signInPage(c, deps, c.req.query('out') === 'yes' ? 'signed-out' : 'nothing')
    }
    const person = await deps.identity.verify(tokenIn(pasted), ['sign-in', 'bearer'])
    if (!person) return signInPage(c, deps, 'not-good')
    await startSession(c, deps, person)
    const wanted = ownPath(getCookie(c, WANTED_COOKIE)) ?? '/'
    deleteCookie(c, WANTED_COOKIE, { path: '/sign-in' })
    return c.redirect(wanted, 303)
  })
  app.post('/sign-out', async (c) => {
    await endSession(c, deps)
    return c.redirect('/sign-in?out=yes', 303)
  })
}
