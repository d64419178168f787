import { createLocalJWKSet, exportJWK, generateKeyPair, SignJWT } from 'jose'
import { beforeAll, describe, expect, it } from 'vitest'
import { poolIdentity, poolKeys } from '../../../shared-lib/ports/cloud/pool-identity.ts'
import { SESSION_LIFE_S } from '../../../shared-lib/ports/identity.ts'
import { awsDouble } from './aws-double.ts'

const NOW_MS = Date.parse('2026-05-04T10:00:00Z')
const NOW_S = NOW_MS / 1000
const ISSUER = 'https://pool.example.org/one'
const CLIENT = 'pages'

type Pair = Awaited<ReturnType<typeof generateKeyPair>>
let pool: Pair
let stranger: Pair
let atMs = NOW_MS
let sessionKeys = [new TextEncoder().encode('a session key of thirty-two bytes or more')]

const CLAIMS = {
  ...{ sub: 'u-1', email: 'ana@example.org', name: 'Ana', token_use: 'id' },
  ...{ 'cognito:groups': ['engineer'], 'custom:sites': 'HILL, DAM' },
}
interface Made {
  claims?: Record<string, unknown>
  issuer?: string
  audience?: string
  endsInS?: number | null
  by?: Pair
}
function token({ claims = CLAIMS, issuer = ISSUER, audience = CLIENT, endsInS = 600, by = pool }: Made = {}) {
  const made = new SignJWT(claims).setProtectedHeader({ alg: 'RS256', kid: 'k1' })
  made.setIssuer(issuer).setAudience(audience).setIssuedAt(NOW_S)
  if (endsInS !== null) made.setExpirationTime(NOW_S + endsInS)
  return made.sign(by.privateKey)
}
const identity = async () => {
  const key = { ...(await exportJWK(pool.publicKey)), kid: 'k1', alg: 'RS256' }
  return poolIdentity({
    ...{ issuer: ISSUER, clientIds: [CLIENT, 'programs'], jwks: createLocalJWKSet({ keys: [key] }) },
    ...{ sessionKeys: async () => sessionKeys, clock: { nowMs: () => atMs } },
  })
}
const verified = async (made: Made = {}) => (await identity()).verify(await token(made), ['bearer'])

beforeAll(async () => {
  pool = await generateKeyPair('RS256')
  stranger = await generateKeyPair('RS256')
})

describe('a bearer token of the pool', () => {
  it('says who it is, with role and sites', async () => {
    const ana = { id: 'pool:u-1', name: 'Ana', email: 'ana@example.org', role: 'engineer' }
    expect(await verified()).toEqual({ ...ana, sites: ['HILL', 'DAM'] })
    expect(await verified({ audience: 'programs' })).toMatchObject(ana)
  })

  it.each<[string, Made]>([
    ['is over', { endsInS: -1 }],
    ['never ends', { endsInS: null }],
    ['is for another client', { audience: 'another' }],
    ['is of another pool', { issuer: 'https://pool.example.org/two' }],
    ['is an access token', { claims: { ...CLAIMS, token_use: 'access' } }],
    ['has no group', { claims: { ...CLAIMS, 'cognito:groups': undefined } }],
    ['has a group that is no role', { claims: { ...CLAIMS, 'cognito:groups': ['owner'] } }],
  ])('is nobody when it %s', async (_, made) => {
    expect(await verified(made)).toBeNull()
  })

  it('is nobody when another key signed it under the name of the pool’s', async () => {
    expect(await verified({ by: stranger })).toBeNull()
  })

  it('is nobody when it is unsigned, or signed with the public key as a secret', async () => {
    const part = (words: object) => Buffer.from(JSON.stringify(words)).toString('base64url')
    const claims = part({ ...CLAIMS, iss: ISSUER, aud: CLIENT, exp: NOW_S + 600 })
    const known = await identity()
    expect(await known.verify(`${part({ alg: 'none' })}.${claims}.`)).toBeNull()
    const publicWords = new TextEncoder().encode(JSON.stringify(await exportJWK(pool.publicKey)))
    const confused = new SignJWT(CLAIMS).setProtectedHeader({ alg: 'HS256', kid: 'k1' })
    confused
      .setIssuer(ISSUER)
      .setAudience(CLIENT)
      .setExpirationTime(NOW_S + 600)
    expect(await known.verify(await confused.sign(publicWords))).toBeNull()
  })

  it('gives the most rights of several roles, and no sites when none are named', async () => {
    const claims = { ...CLAIMS, 'cognito:groups': ['quality', 'field'], 'custom:sites': '' }
    expect(await verified({ claims })).toMatchObject({ role: 'quality', sites: [] })
  })

  it('is trouble, not a no, when the pool’s keys cannot be had', async () => {
    const double = await awsDouble(() => ({ status: 500 }))
    const jwks = poolKeys(double.settings.endpoint)
    const parts = { issuer: ISSUER, clientIds: [CLIENT], jwks, sessionKeys: async () => sessionKeys }
    const known = poolIdentity({ ...parts, clock: { nowMs: () => NOW_MS } })
    await expect(known.verify(await token(), ['bearer'])).rejects.toThrow()
    expect(double.asked.map(({ path }) => path)).toEqual(['/.well-known/jwks.json'])
    await double.close()
    await expect(known.verify(await token(), ['bearer'])).rejects.toThrow()
  })
})

describe('a session', () => {
  const person = { id: 'pool:u-1', name: 'Ana', role: 'engineer', sites: ['HILL'] } as const
  const began = async () =>
    (await (await identity()).issueSession({ ...person, sites: [...person.sites] })).token
  const is = async (session: string) => (await identity()).verify(session, ['session'])

  it('is kept through one rotation of its key, and ends with the next', async () => {
    const [old] = sessionKeys
    const [second, third] = ['second', 'third'].map((n) => new TextEncoder().encode(n.repeat(8)))
    const session = await began()
    sessionKeys = [second!, old!]
    expect(await is(session)).toEqual(person)
    sessionKeys = [third!, second!]
    expect(await is(session)).toBeNull()
  })

  it('ends after its life, and is no bearer token', async () => {
    const session = await began()
    expect(await (await identity()).verify(session, ['bearer'])).toBeNull()
    atMs = NOW_MS + (SESSION_LIFE_S + 1) * 1000
    expect(await is(session)).toBeNull()
    atMs = NOW_MS
    expect(await is(session)).toEqual(person)
  })
})
