import { createRemoteJWKSet, errors, type JWTVerifyGetKey, jwtVerify } from 'jose'
import type { Clock } from '../clock.ts'
import { type Identity, type Person, SESSION_LIFE_S } from '../identity.ts'
import { mintToken, verifyToken } from '../local-tokens.ts'
import { personOfClaims } from './person-of-claims.ts'
import type { SessionKeys } from './session-keys.ts'

const KEYS_OUT_OF_REACH = new Set(['ERR_JOSE_GENERIC', 'ERR_JWKS_TIMEOUT', 'ERR_JWKS_INVALID'])

export interface PoolIdentityParts {
  /** `https://cognito-idp.<region>.amazonaws.com/<pool>`: what tokens name as their issuer. */
  issuer: string
  /** The pool's keys. */
  jwks: JWTVerifyGetKey
  /** Clients whose ID tokens are taken. */
  clientIds: string[]
  sessionKeys: SessionKeys
  clock: Clock
}

/**
 * Who is asking, in the cloud: bearer tokens are ID tokens of the user pool (an access token says neither address nor sites), the
 * session is a cookie signed by ourselves.
 */
export function poolIdentity(parts: PoolIdentityParts): Identity {
  const { clock, sessionKeys } = parts

  async function bearer(token: string): Promise<Person | null> {
    try {
      const { payload } = await jwtVerify(token, parts.jwks, {
        issuer: parts.issuer,
        audience: parts.clientIds,
        algorithms: ['RS256'],
        currentDate: new Date(clock.nowMs()),
        requiredClaims: ['exp', 'sub'],
      })
      return payload.token_use === 'id' ? personOfClaims(payload) : null
    } catch (error) {
      // Anything about the token is a no; not reaching the pool's keys is trouble of ours and must not look like one.
      if (error instanceof errors.JOSEError && !KEYS_OUT_OF_REACH.has(error.code)) return null
      throw error
    }
  }

  async function session(token: string): Promise<Person | null> {
    for (const key of await sessionKeys()) {
      const person = await verifyToken(key, token, 'session', clock.nowMs())
      if (person) return person
    }
    return null
  }

  return {
    async verify(token, uses = ['bearer', 'session']) {
      for (const use of uses) {
        const person =
          use === 'bearer' ? await bearer(token) : use === 'session' ? await session(token) : null
        if (person) return person
      }
      return null
    },
    async issueSession(person) {
      const [key] = await sessionKeys()
      if (!key) throw new Error('The secret of the session key is empty.')
      const token = await mintToken(key, person, 'session', SESSION_LIFE_S, clock.nowMs())
      return { token, maxAgeS: SESSION_LIFE_S }
    },
  }
}

/**
 * The pool's keys by its address; fetched when first needed and again when a token names a key that is not among them. Set up when
 * first needed too: it brings Node's whole fetch with it.
 */
export function poolKeys(endpoint: string): JWTVerifyGetKey {
  let keys: JWTVerifyGetKey | undefined
  return (header, token) => {
    keys ??= createRemoteJWKSet(new URL(`${endpoint}/.well-known/jwks.json`))
    return keys(header, token)
  }
}
