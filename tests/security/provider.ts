import { once } from 'node:events'
import { createServer } from 'node:http'
import type { AddressInfo } from 'node:net'
import { decodeJwt, exportJWK, generateKeyPair, SignJWT } from 'jose'
import { Provider } from 'oidc-provider'

/** Claims of the people a test signs in, by the id they have at the provider. */
export type People = Record<string, Record<string, unknown>>

/** What a test makes of the ID token's claims before they are signed again; `by` signs in the place of the provider's own key. */
export interface Forgery {
  claims?: Record<string, unknown>
  by?: Awaited<ReturnType<typeof generateKeyPair>>['privateKey']
}

const KEY_ID = 'provider-key'

/**
 * A whole OpenID Connect provider on this machine, the certified one of the `oidc-provider` package, set up as the user pool is:
 * one public client that must use PKCE, groups and sites in the ID token. Whoever is named by `signsIn` signs in at once.
 */
export async function startProvider(redirectUri: string, people: People) {
  const { privateKey } = await generateKeyPair('RS256', { extractable: true })
  const server = createServer((request, response) => void answer(request, response))
  server.listen(0, '127.0.0.1')
  await once(server, 'listening')
  const issuer = `http://127.0.0.1:${(server.address() as AddressInfo).port}`
  const provider = new Provider(issuer, {
    clients: [
      {
        client_id: 'pages',
        token_endpoint_auth_method: 'none',
        redirect_uris: [redirectUri],
        response_types: ['code'],
        grant_types: ['authorization_code'],
      },
    ],
    jwks: { keys: [{ ...(await exportJWK(privateKey)), kid: KEY_ID, alg: 'RS256', use: 'sig' }] },
    cookies: { keys: ['of the test'] },
    pkce: { required: () => true },
    conformIdTokenClaims: false,
    claims: { openid: ['sub', 'cognito:groups', 'custom:sites'], email: ['email'], profile: ['name'] },
    findAccount: (_, sub) => ({ accountId: sub, claims: async () => ({ sub, ...people[sub] }) }),
    features: { devInteractions: { enabled: false } },
    interactions: { url: (_, { uid }) => `/interaction/${uid}` },
    ttl: {
      AccessToken: 600,
      AuthorizationCode: 60,
      Grant: 600,
      IdToken: 600,
      Interaction: 600,
      Session: 600,
    },
    // An operator's own pool asks nobody whether its own pages may know who they are.
    async loadExistingGrant({ oidc }) {
      const grant = new provider.Grant({
        clientId: oidc.client!.clientId,
        accountId: oidc.session!.accountId!,
      })
      grant.addOIDCScope('openid email profile')
      await grant.save()
      return grant
    },
  })
  let signingIn = ''
  let forgery: Forgery | null = null
  provider.use(async (ctx, next) => {
    if (ctx.path.startsWith('/interaction/')) {
      await provider.interactionFinished(ctx.req, ctx.res, { login: { accountId: signingIn } })
      ctx.respond = false
      return
    }
    await next()
    const { id_token: token } = (ctx.body ?? {}) as { id_token?: string }
    if (!forgery || !token) return
    const claims = new SignJWT({ ...decodeJwt(token), ...forgery.claims })
    const signed = claims.setProtectedHeader({ alg: 'RS256', kid: KEY_ID })
    ctx.body = { ...(ctx.body as object), id_token: await signed.sign(forgery.by ?? privateKey) }
  })
  const answer = provider.callback()
  return {
    issuer,
    signsIn(id: string): void {
      signingIn = id
    },
    /** From now on the provider's ID tokens are as told; null = its own. */
    forges(what: Forgery | null): void {
      forgery = what
    },
    async close(): Promise<void> {
      server.closeAllConnections()
      server.close()
      await once(server, 'close')
    },
  }
}
