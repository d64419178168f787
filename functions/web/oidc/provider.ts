import {
  allowInsecureRequests,
  Configuration,
  enableNonRepudiationChecks,
  None,
  type ServerMetadata,
} from 'openid-client'
import * as z from 'zod/mini'

/** What a provider says of itself, as far as it is used here; the rest passes through. */
const metadata = z.looseObject({
  issuer: z.string(),
  authorization_endpoint: z.string(),
  token_endpoint: z.string(),
  jwks_uri: z.string(),
})

export interface ProviderSettings {
  /** Whom tokens must name as their issuer. */
  issuer: string
  /** Where the provider is asked, without `/.well-known/…`: the issuer itself, save where calls to AWS are led elsewhere. */
  endpoint: string
  clientId: string
}

/**
 * Fetches the provider's own description. A public client: PKCE stands in for the secret.
 * @throws when it cannot be fetched, or is that of another issuer
 */
export async function readProvider({ issuer, endpoint, clientId }: ProviderSettings): Promise<Configuration> {
  const answer = await fetch(`${endpoint}/.well-known/openid-configuration`, {
    signal: AbortSignal.timeout(10_000),
  })
  if (!answer.ok) throw new Error(`The sign-in provider answered ${answer.status} to its description.`)
  const server = metadata.parse(await answer.json())
  if (server.issuer !== issuer) throw new Error('The sign-in provider describes another issuer.')
  const config = new Configuration(server as ServerMetadata, clientId, undefined, None())
  enableNonRepudiationChecks(config)
  // Only where calls to AWS are led to this machine by the environment; the pool itself has no plain http.
  if (endpoint.startsWith('http:')) allowInsecureRequests(config)
  return config
}
