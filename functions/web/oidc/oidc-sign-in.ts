import type { Hono } from 'hono'
import {
  authorizationCodeGrant,
  buildAuthorizationUrl,
  type Configuration,
  calculatePKCECodeChallenge,
  randomNonce,
  randomPKCECodeVerifier,
  randomState,
} from 'openid-client'
import { personOfClaims } from '../../../shared-lib/ports/cloud/person-of-claims.ts'
import type { SessionKeys } from '../../../shared-lib/ports/cloud/session-keys.ts'
import type { Log } from '../../../shared-lib/ports/handle-batch.ts'
import type { WebDeps } from '../deps.ts'
import { ownPath } from '../own-path.ts'
import { endSession, startSession } from '../session.ts'
import type { WebEnv } from '../web-env.ts'
import { openProvider, type ProviderSettings } from './provider.ts'
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
  const provider = openProvider(settings)
  const { sessionKeys, log } = settings
  /** Null when it cannot be reached: that is no error of this page. */
  const reach = async (): Promise<Configuration | null> => {
    try {
      return await provider()
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
      const config = await reach()
      if (!config) return signInPage(c, deps, 'out-of-reach')
      const going = {
        state: randomState(),
        nonce: randomNonce(),
        codeVerifier: randomPKCECodeVerifier(),
        back: ownPath(c.req.query('back')) ?? '/',
      }
      await keepTransaction(c, sessionKeys, going, cookie())
      const url = buildAuthorizationUrl(config, {
        redirect_uri: baseUrl + CALLBACK,
        scope: 'openid email profile',
        state: going.state,
        nonce: going.nonce,
        code_challenge: await calculatePKCECodeChallenge(going.codeVerifier),
        code_challenge_method: 'S256',
      })
      c.header('Cache-Control', 'no-store')
      return c.redirect(url.href, 303)
    })

    app.get(CALLBACK, async (c) => {
      const going = await takeTransaction(c, sessionKeys, cookie())
      if (!going) return signInPage(c, deps, 'start-again')
      const config = await reach()
      if (!config) return signInPage(c, deps, 'out-of-reach')
      const claims = await exchange(config, new URL(baseUrl + CALLBACK + new URL(c.req.url).search), going)
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

  /** The claims of the ID token; null for whatever makes this answer not one to the question that was asked. */
  async function exchange(
    config: Configuration,
    answer: URL,
    going: { state: string; nonce: string; codeVerifier: string },
  ): Promise<Record<string, unknown> | null> {
    try {
      const tokens = await authorizationCodeGrant(config, answer, {
        expectedState: going.state,
        expectedNonce: going.nonce,
        pkceCodeVerifier: going.codeVerifier,
        idTokenExpected: true,
      })
      return (tokens.claims() ?? null) as Record<string, unknown> | null
    } catch (error) {
      // The provider's words may carry the code or an address: its kind of error is enough.
      log({ level: 'warn', message: 'a sign-in was not finished', error: (error as Error).name })
      return null
    }
  }
}
