import type { Hono } from 'hono'
import { personOfClaims } from '../../../shared-lib/ports/cloud/person-of-claims.ts'
import type { SessionKeys } from '../../../shared-lib/ports/cloud/session-keys.ts'
import type { Log } from '../../../shared-lib/ports/handle-batch.ts'
import { onFirstUse } from '../../../shared-lib/ports/on-first-use.ts'
import type { WebDeps } from '../deps.ts'
import { ownPath } from '../own-path.ts'
import { endSession, startSession } from '../session.ts'
import type { WebEnv } from '../web-env.ts'
import type { CodeFlow, ProviderSettings } from './code-flow.ts'
import { signInPage } from './sign-in-page.ts'
import { keepTransaction, takeTransaction } from './transaction.ts'

export interface OidcSettings extends ProviderSettings {
  sessionKeys: SessionKeys
  log: Log
}

/** Where the provider sends people back to. */
const CALLBACK = '/sign-in/callback'

/**
 * `/sign-in` and `/sign-out` with an OpenID Connect provider: the code flow with PKCE, state and nonce. Made for `deps.mountSignIn`.
 * The provider's tokens are used once, to learn who it is, and not kept.
 */
export function oidcSignIn(settings: OidcSettings): NonNullable<WebDeps['mountSignIn']> {
  const { sessionKeys, log } = settings
  // Read when somebody signs in: few first requests of a new copy are that.
  const codeFlow = onFirstUse(async () => (await import('./code-flow.ts')).openCodeFlow(settings))
  /** Null when the provider cannot be reached: that is no error of this page. */
  const reach = async (): Promise<CodeFlow | null> => {
    try {
      return await codeFlow()
    } catch (error) {
      log({ level: 'error', message: 'the sign-in provider cannot be used', error: (error as Error).message })
      return null
    }
  }

  return (app: Hono<WebEnv>, deps: WebDeps) => {
    const { baseUrl, secureCookies: secure } = deps.settings
    const cookie = () => ({ nowMs: deps.clock.nowMs(), secure })

    app.get('/sign-in', async (c) => {
      if (c.req.query('out') === 'yes') return signInPage(c, deps, 'signed-out')
      const flow = await reach()
      if (!flow) return signInPage(c, deps, 'out-of-reach')
      const { address, going } = await flow.begin(baseUrl + CALLBACK)
      const back = ownPath(c.req.query('back')) ?? '/'
      await keepTransaction(c, sessionKeys, { ...going, back }, cookie())
      c.header('Cache-Control', 'no-store')
      return c.redirect(address, 303)
    })

    app.get(CALLBACK, async (c) => {
      const going = await takeTransaction(c, sessionKeys, cookie())
      if (!going) return signInPage(c, deps, 'start-again')
      const flow = await reach()
      if (!flow) return signInPage(c, deps, 'out-of-reach')
      const claims = await flow.finish(new URL(baseUrl + CALLBACK + new URL(c.req.url).search), going)
      if (claims === null) return signInPage(c, deps, 'start-again')
      const person = personOfClaims(claims)
      if (!person) return signInPage(c, deps, 'no-role')
      await startSession(c, deps, person)
      c.header('Cache-Control', 'no-store')
      return c.redirect(going.back, 303)
    })

    app.post('/sign-out', async (c) => {
      await endSession(c, deps)
      return c.redirect('/sign-in?out=yes', 303)
    })
  }
}
