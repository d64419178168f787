import {
  authorizationCodeGrant,
  buildAuthorizationUrl,
  calculatePKCECodeChallenge,
  randomNonce,
  randomPKCECodeVerifier,
  randomState,
} from 'openid-client'
import type { Log } from '../../../shared-lib/ports/handle-batch.ts'
import { type ProviderSettings, readProvider } from './provider.ts'
import type { Transaction } from './transaction.ts'

export type { ProviderSettings }

type Going = Omit<Transaction, 'back'>

/** The code flow with PKCE, state and nonce, with one provider. */
export interface CodeFlow {
  /** Where to send the person, and what must be remembered until they come back to `redirectUri`. */
  begin(redirectUri: string): Promise<{ address: string; going: Going }>
  /** The claims of the ID token; null for whatever makes this answer not one to the question that was asked. */
  finish(answer: URL, going: Going): Promise<Record<string, unknown> | null>
}

/** @throws when the provider cannot be reached or describes another issuer */
export async function openCodeFlow(settings: ProviderSettings & { log: Log }): Promise<CodeFlow> {
  const config = await readProvider(settings)
  return {
    async begin(redirectUri) {
      const going = {
        state: randomState(),
        nonce: randomNonce(),
        codeVerifier: randomPKCECodeVerifier(),
      }
      const url = buildAuthorizationUrl(config, {
        redirect_uri: redirectUri,
        scope: 'openid email profile',
        state: going.state,
        nonce: going.nonce,
        code_challenge: await calculatePKCECodeChallenge(going.codeVerifier),
        code_challenge_method: 'S256',
      })
      return { address: url.href, going }
    },
    async finish(answer, going) {
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
        settings.log({ level: 'warn', message: 'a sign-in was not finished', error: (error as Error).name })
        return null
      }
    },
  }
}
