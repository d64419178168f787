import { createLocalJWKSet, generateKeyPair } from 'jose'
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest'
import { createApp } from '../../functions/web/create-app.ts'
import { oidcSignIn } from '../../functions/web/oidc/oidc-sign-in.ts'
import { SESSION_COOKIE } from '../../functions/web/session.ts'
import { poolIdentity } from '../../shared-lib/ports/cloud/pool-identity.ts'
import { awsDouble } from '../ports/cloud/aws-double.ts'
import { BASE_URL, type House, NOW_MS, openHouse } from '../web-api/house.ts'
import { startProvider } from './provider.ts'

/** The cloud's sign-in against a whole provider: the browser's part is played here, with the cookies of both sides. */

const CALLBACK = `${BASE_URL}/sign-in/callback`
const TRANSACTION_COOKIE = 'stakeline_signing_in'
/** A page that asks for the role of an administrator. */
const ADMIN_PAGE = '/register/calibration'
const PEOPLE = {
  ana: { name: 'Ana', email: 'ana@example.org', 'cognito:groups': ['engineer'], 'custom:sites': 'HILL, DAM' },
  bo: { name: 'Bo', email: 'bo@example.org', 'cognito:groups': ['field', 'admin'], 'custom:sites': '*' },
  cy: { name: 'Cy', email: 'cy@example.org' },
  di: { name: 'Di', email: 'di@example.org', 'cognito:groups': ['owner'], 'custom:sites': '*' },
}

let house: House
let provider: Awaited<ReturnType<typeof startProvider>>
let app: House['app']
const logged: Record<string, unknown>[] = []
const sessionKeys = async () => [new TextEncoder().encode('a session key of thirty-two bytes or more')]
const appAt = (endpoint: string) =>
  createApp({
    ...house.deps,
    identity: poolIdentity({
      ...{ issuer: provider.issuer, jwks: createLocalJWKSet({ keys: [] }), clientIds: ['pages'] },
      ...{ sessionKeys, clock: house.deps.clock },
    }),
    mountSignIn: oidcSignIn({
      ...{ issuer: provider.issuer, endpoint, clientId: 'pages', sessionKeys },
      log: (entry) => logged.push(entry),
    }),
  })

beforeAll(async () => {
  house = await openHouse({ secureCookies: true })
  provider = await startProvider(CALLBACK, PEOPLE)
  app = appAt(provider.issuer)
}, 30_000)
afterAll(async () => {
  await provider.close()
  await house.close()
})
beforeEach(() => {
  house.setNow(NOW_MS)
  provider.forges(null)
  logged.length = 0
})

type Jar = Map<string, string>
const cookieHeader = (jar: Jar) => ({ Cookie: [...jar].map(([k, v]) => `${k}=${v}`).join('; ') })
function keep(jar: Jar, answer: Response): Response {
  for (const cookie of answer.headers.getSetCookie()) {
    const [, name, value] = /^([^=]+)=([^;]*)/.exec(cookie)!
    if (value === '' || /Max-Age=0/i.test(cookie)) jar.delete(name!)
    else jar.set(name!, value!)
  }
  return answer
}
const ask = async (jar: Jar, path: string) =>
  keep(jar, await app.request(path, { headers: { ...cookieHeader(jar), Accept: 'text/html' } }))

/** Leaves for the provider: its address, and what the browser keeps. */
async function leave(back = '/findings') {
  const jar: Jar = new Map()
  const answer = await ask(jar, `/sign-in?back=${encodeURIComponent(back)}`)
  expect(answer.status).toBe(303)
  return { jar, address: new URL(answer.headers.get('location')!) }
}
/** Signs in at the provider and gives the address it sends the browser back to. */
async function signInThere(person: keyof typeof PEOPLE, address: URL): Promise<URL> {
  provider.signsIn(person)
  const jar: Jar = new Map()
  for (let at = address, hops = 0; hops < 6; hops++) {
    if (at.href.startsWith(CALLBACK)) return at
    const answer = keep(jar, await fetch(at, { redirect: 'manual', headers: cookieHeader(jar) }))
    at = new URL(answer.headers.get('location') ?? 'none:', at)
  }
  throw new Error('The provider never sent the browser back.')
}
const pathOf = ({ pathname, search }: URL) => pathname + search
async function signIn(person: keyof typeof PEOPLE, back?: string) {
  const { jar, address } = await leave(back)
  const returned = await signInThere(person, address)
  const answer = await ask(jar, pathOf(returned))
  return { jar, returned, answer }
}

async function expectRefused(answer: Response, jar: Jar): Promise<void> {
  expect(answer.status).toBe(401)
  expect(await answer.text()).toContain('Signing in was not finished')
  expect(jar.has(SESSION_COOKIE)).toBe(false)
}

describe('signing in with the provider', () => {
  it('asks for a code with PKCE, state and nonce, and takes nothing else along', async () => {
    const { address } = await leave()
    const asked = Object.fromEntries(address.searchParams)
    expect(asked).toMatchObject({
      ...{ client_id: 'pages', response_type: 'code', redirect_uri: CALLBACK },
      ...{ scope: 'openid email profile', code_challenge_method: 'S256' },
    })
    for (const name of ['state', 'nonce', 'code_challenge'])
      expect(asked[name]?.length).toBeGreaterThanOrEqual(43)
    const again = Object.fromEntries((await leave()).address.searchParams)
    for (const name of ['state', 'nonce', 'code_challenge']) expect(again[name]).not.toBe(asked[name])
  })

  it('leads to where the person wanted to go, with a session that is theirs', async () => {
    const { jar, answer } = await signIn('ana', '/electrodes?site=HILL')
    expect(answer.status).toBe(303)
    expect(answer.headers.get('location')).toBe('/electrodes?site=HILL')
    expect((await ask(jar, '/electrodes?site=HILL')).status).toBe(200)
    expect((await ask(jar, '/electrodes?site=ELSEWHERE')).status).toBe(403)
    expect(await (await ask(jar, '/')).text()).toContain('Ana')
  })

  it('keeps the session in a cookie that scripts cannot read and other sites do not send, and drops the one of the way', async () => {
    const { jar, answer } = await signIn('ana')
    const session = answer.headers.getSetCookie().find((c) => c.startsWith(SESSION_COOKIE))
    for (const part of ['HttpOnly', 'Secure', 'SameSite=Lax', 'Path=/']) expect(session).toContain(part)
    expect(jar.has(TRANSACTION_COOKIE)).toBe(false)
    expect(answer.headers.get('cache-control')).toBe('no-store')
  })

  it('makes of several groups the one with the most rights', async () => {
    const { jar } = await signIn('bo')
    expect((await ask(jar, ADMIN_PAGE)).status).not.toBe(403)
    const crew = await signIn('ana')
    expect((await ask(crew.jar, ADMIN_PAGE)).status).toBe(403)
  })

  it.each(['cy', 'di'] as const)('lets nobody in who has no group that is a role (%s)', async (person) => {
    const { jar, answer } = await signIn(person)
    expect(answer.status).toBe(403)
    expect(await answer.text()).toContain('no role here yet')
    expect(jar.has(SESSION_COOKIE)).toBe(false)
  })

  it.each(['//elsewhere.example.org/', 'https://elsewhere.example.org/', '/\\elsewhere.example.org'])(
    'leads home instead of to %s',
    async (back) => {
      expect((await signIn('ana', back)).answer.headers.get('location')).toBe('/')
    },
  )
})

describe('the way back from the provider', () => {
  it('is refused with another state than was sent along', async () => {
    const { jar, address } = await leave()
    const returned = await signInThere('ana', address)
    returned.searchParams.set('state', 'a'.repeat(43))
    await expectRefused(await ask(jar, pathOf(returned)), jar)
  })

  it('is refused in another browser than the one that left', async () => {
    const { address } = await leave()
    const jar: Jar = new Map()
    await expectRefused(await ask(jar, pathOf(await signInThere('ana', address))), jar)
    const { jar: other } = await leave()
    await expectRefused(await ask(other, pathOf(await signInThere('ana', address))), other)
  })

  it('is good once: the same answer again signs nobody in, not even with the cookie put back', async () => {
    const { jar, address } = await leave()
    const kept = jar.get(TRANSACTION_COOKIE)!
    const returned = await signInThere('ana', address)
    expect((await ask(jar, pathOf(returned))).status).toBe(303)
    const later: Jar = new Map()
    await expectRefused(await ask(later, pathOf(returned)), later)
    const thief: Jar = new Map([[TRANSACTION_COOKIE, kept]])
    await expectRefused(await ask(thief, pathOf(returned)), thief)
    expect(logged).toContainEqual(expect.objectContaining({ message: 'a sign-in was not finished' }))
  })

  it('is refused with a code that somebody else’s browser was given', async () => {
    const [mine, theirs] = [await leave(), await leave()]
    const stolen = (await signInThere('bo', theirs.address)).searchParams.get('code')!
    const returned = await signInThere('ana', mine.address)
    returned.searchParams.set('code', stolen)
    await expectRefused(await ask(mine.jar, pathOf(returned)), mine.jar)
  })

  it('is refused when it names another provider', async () => {
    const { jar, address } = await leave()
    const returned = await signInThere('ana', address)
    returned.searchParams.set('iss', 'https://provider.example.org')
    await expectRefused(await ask(jar, pathOf(returned)), jar)
  })

  it('is refused when it took longer than a quarter of an hour, and when the cookie of the way was changed', async () => {
    const slow = await leave()
    house.setNow(NOW_MS + 16 * 60_000)
    await expectRefused(await ask(slow.jar, pathOf(await signInThere('ana', slow.address))), slow.jar)
    house.setNow(NOW_MS)
    const changed = await leave()
    const [head, , signature] = changed.jar.get(TRANSACTION_COOKIE)!.split('.')
    const state = changed.address.searchParams.get('state')
    const going = { state, nonce: 'n', codeVerifier: 'v', back: '/', aud: 'signing-in', exp: 9_999_999_999 }
    const body = Buffer.from(JSON.stringify(going)).toString('base64url')
    changed.jar.set(TRANSACTION_COOKIE, `${head}.${body}.${signature}`)
    await expectRefused(
      await ask(changed.jar, pathOf(await signInThere('ana', changed.address))),
      changed.jar,
    )
  })

  it('says that it was not finished when the person turned back at the provider', async () => {
    const { jar, address } = await leave()
    const state = address.searchParams.get('state')!
    const answer = `?error=access_denied&state=${state}&iss=${encodeURIComponent(provider.issuer)}`
    await expectRefused(await ask(jar, `/sign-in/callback${answer}`), jar)
  })
})

describe('an ID token', () => {
  const nowS = () => Math.floor(Date.now() / 1000)
  it.each<[string, () => Record<string, unknown>]>([
    ['is over', () => ({ iat: nowS() - 1200, exp: nowS() - 600 })],
    ['is for another client', () => ({ aud: 'another' })],
    ['is of another issuer', () => ({ iss: 'https://provider.example.org' })],
    ['has another nonce: it belongs to an earlier sign-in', () => ({ nonce: 'of-an-earlier-sign-in' })],
    ['names nobody', () => ({ sub: undefined })],
  ])('signs nobody in when it %s, however well it is signed', async (_, claims) => {
    provider.forges({ claims: claims() })
    const { jar, answer } = await signIn('ana')
    await expectRefused(answer, jar)
  })

  it('signs nobody in when another key signed it under the name of the provider’s', async () => {
    provider.forges({ by: (await generateKeyPair('RS256')).privateKey })
    const { jar, answer } = await signIn('ana')
    await expectRefused(answer, jar)
  })

  it('of the provider signs in as it is: what refuses above is the change', async () => {
    provider.forges({})
    expect((await signIn('ana')).answer.status).toBe(303)
  })
})

describe('signing out', () => {
  it('ends the session here and in every copy of its cookie, and says so', async () => {
    const { jar } = await signIn('ana')
    const copy: Jar = new Map(jar)
    const headers = { ...cookieHeader(jar), Origin: BASE_URL }
    const out = keep(jar, await app.request('/sign-out', { method: 'POST', headers }))
    expect(out.headers.get('location')).toBe('/sign-in?out=yes')
    expect(jar.has(SESSION_COOKIE)).toBe(false)
    const said = await ask(jar, '/sign-in?out=yes')
    expect(said.status).toBe(200)
    expect(await said.text()).toContain('You are signed out here')
    expect((await ask(copy, '/findings')).headers.get('location')).toMatch(/^\/sign-in/)
  })

  it('is not done by another web site', async () => {
    const { jar } = await signIn('ana')
    const headers = { ...cookieHeader(jar), Origin: 'https://elsewhere.example.org' }
    expect((await app.request('/sign-out', { method: 'POST', headers })).status).toBe(403)
    expect((await ask(jar, '/findings')).status).toBe(200)
  })
})

describe('a provider that cannot be used', () => {
  it('is said to be out of reach, is tried again with the next visit, and described once', async () => {
    const description = `${provider.issuer}/.well-known/openid-configuration`
    const json: unknown = await (await fetch(description)).json()
    const double = await awsDouble((_, nth) => (nth === 0 ? { status: 503 } : { json }))
    const reach = appAt(double.settings.endpoint)
    const visit = () => reach.request('/sign-in', { headers: { Accept: 'text/html' } })
    const answer = await visit()
    expect(answer.status).toBe(503)
    expect(await answer.text()).toContain('cannot be reached just now')
    expect(logged).toContainEqual(expect.objectContaining({ level: 'error' }))
    expect((await visit()).status).toBe(303)
    await double.close()
    expect((await visit()).status).toBe(303)
    expect(double.asked).toHaveLength(2)
  })

  it('is not taken when it describes itself as another', async () => {
    const odd = createApp({
      ...house.deps,
      mountSignIn: oidcSignIn({
        ...{ issuer: 'https://provider.example.org', endpoint: provider.issuer, clientId: 'pages' },
        ...{ sessionKeys, log: (entry) => logged.push(entry) },
      }),
    })
    expect((await odd.request('/sign-in')).status).toBe(503)
    expect(logged[0]?.error).toContain('another issuer')
  })
})

it('nothing that is logged of signing in names a person, a code or a token', async () => {
  provider.forges({ claims: { aud: 'another' } })
  const { returned } = await signIn('ana')
  const text = JSON.stringify(logged)
  expect(text.length).toBeGreaterThan(10)
  for (const secret of ['ana@example.org', 'Ana', returned.searchParams.get('code')!, 'eyJ'])
    expect(text).not.toContain(secret)
})
