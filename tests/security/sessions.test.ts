import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest'
import { SESSION_COOKIE } from '../../functions/web/session.ts'
import type { TokenUse } from '../../shared-lib/ports/local-tokens.ts'
import { BASE_URL, type House, NOW_MS, openHouse, someone } from '../web-api/house.ts'

let house: House
beforeAll(async () => {
  house = await openHouse({ secureCookies: true })
}, 30_000)
afterAll(() => house.close())
beforeEach(() => house.setNow(NOW_MS))

const HOUR_MS = 3_600_000
const signInToken = () => house.identity.mintSignIn(someone('field'), 30 * 86_400)
const signIn = async (headers: Record<string, string> = {}) =>
  house.app.request(`/sign-in?token=${await signInToken()}`, { headers })
const sessionOf = (answer: Response) =>
  answer.headers
    .getSetCookie()
    .find((c) => c.startsWith(`${SESSION_COOKIE}=`))!
    .slice(SESSION_COOKIE.length + 1)
    .split(';')[0]!
const home = async (token: string) =>
  house.app.request('/', { headers: { Cookie: `${SESSION_COOKIE}=${token}`, Accept: 'text/html' } })

describe('a session', () => {
  it('comes in a cookie that scripts cannot read, that other sites do not send and that goes over TLS only', async () => {
    const cookie = (await signIn()).headers.getSetCookie().find((c) => c.startsWith(SESSION_COOKIE))!
    for (const part of ['HttpOnly', 'SameSite=Lax', 'Secure', 'Path=/']) expect(cookie).toContain(part)
    expect(cookie).not.toContain('Domain=')
  })

  it('is always a fresh one: a cookie that somebody planted before is not taken over', async () => {
    const planted = (await house.identity.issueSession(someone('admin', { id: 'local:attacker' }))).token
    house.setNow(NOW_MS + 1000)
    const answer = await signIn({ Cookie: `${SESSION_COOKIE}=${planted}` })
    expect(answer.status).toBe(303)
    expect(sessionOf(answer)).not.toBe(planted)
    const person = await house.identity.verify(sessionOf(answer), ['session'])
    expect(person).toMatchObject({ id: 'local:field', role: 'field' })
  })

  it('ends by itself, and the cookie no later than the token', async () => {
    const answer = await signIn()
    const cookie = answer.headers.getSetCookie().find((c) => c.startsWith(SESSION_COOKIE))!
    const maxAgeS = Number(/Max-Age=(\d+)/.exec(cookie)![1])
    expect(maxAgeS).toBeLessThanOrEqual(24 * 3600)
    expect((await home(sessionOf(answer))).status).toBe(200)
    house.setNow(NOW_MS + maxAgeS * 1000 + HOUR_MS)
    expect((await home(sessionOf(answer))).headers.get('location')).toMatch(/^\/sign-in/)
  })

  const signOut = async (token: string, origin = BASE_URL) =>
    house.app.request('/sign-out', {
      method: 'POST',
      headers: { Cookie: `${SESSION_COOKIE}=${token}`, Origin: origin },
    })

  it('is over after signing out, also for a copy of its cookie; others of the same person go on', async () => {
    const [token, other] = [sessionOf(await signIn()), sessionOf(await signIn())]
    expect((await home(token)).status).toBe(200)
    expect((await signOut(token)).status).toBe(303)
    expect((await home(token)).headers.get('location')).toMatch(/^\/sign-in/)
    const asked = await house.app.request('/api/sites', { headers: { Cookie: `${SESSION_COOKIE}=${token}` } })
    expect(asked.status).toBe(401)
    expect((await home(other)).status).toBe(200)
  })

  it('stays when another web site asks to sign out', async () => {
    const token = sessionOf(await signIn())
    expect((await signOut(token, 'https://elsewhere.example.org')).status).toBe(403)
    expect((await home(token)).status).toBe(200)
  })

  it('that ended is kept in mind no longer than it would have lived', async () => {
    const { ledger } = house.deps
    const end = (digest: string, nowMs: number) =>
      ledger.endSession(digest, { nowMs, untilMs: nowMs + HOUR_MS })
    await end('first', NOW_MS)
    await end('second', NOW_MS + HOUR_MS)
    expect([await ledger.isSessionEnded('first'), await ledger.isSessionEnded('second')]).toEqual([
      true,
      true,
    ])
    await end('third', NOW_MS + HOUR_MS + 1)
    expect([await ledger.isSessionEnded('first'), await ledger.isSessionEnded('second')]).toEqual([
      false,
      true,
    ])
  })

  it('is taken from the browser by signing out', async () => {
    const token = sessionOf(await signIn())
    const answer = await signOut(token)
    const cleared = answer.headers.getSetCookie().find((c) => c.startsWith(SESSION_COOKIE))
    expect(cleared).toMatch(/Max-Age=0/)
  })
})

describe('a token', () => {
  const uses: [string, TokenUse, (token: string) => Promise<Response>][] = [
    ['a bearer token as a session', 'bearer', home],
    ['a sign-in link as a session', 'sign-in', home],
    [
      'a sign-in link as a bearer token',
      'sign-in',
      async (token) => house.app.request('/api/sites', { headers: { Authorization: `Bearer ${token}` } }),
    ],
    [
      'a session as a bearer token',
      'session',
      async (token) => house.app.request('/api/sites', { headers: { Authorization: `Bearer ${token}` } }),
    ],
    ['a session as a sign-in link', 'session', async (token) => house.app.request(`/sign-in?token=${token}`)],
  ]
  it.each(uses)('is good for one use only: not %s', async (_, use, show) => {
    const person = someone('admin')
    const token =
      use === 'bearer'
        ? await house.bearer(person)
        : use === 'sign-in'
          ? await house.identity.mintSignIn(person, 3600)
          : (await house.identity.issueSession(person)).token
    const answer = await show(token)
    const location = answer.headers.get('location') ?? ''
    expect(answer.status === 401 || location.startsWith('/sign-in')).toBe(true)
  })

  it('is not good with another algorithm, without a signature, or with one changed character', async () => {
    const good = await house.bearer(someone('field'))
    const [, payload, signature] = good.split('.') as [string, string, string]
    const none = `${Buffer.from('{"alg":"none"}').toString('base64url')}.${payload}.`
    const admin = Buffer.from(
      Buffer.from(payload, 'base64url').toString().replace('"role":"field"', '"role":"admin"'),
    ).toString('base64url')
    const raised = `${good.split('.')[0]}.${admin}.${signature}`
    const changed = `${good.slice(0, -2)}${good.at(-2) === 'A' ? 'B' : 'A'}${good.at(-1)}`
    for (const token of [none, raised, changed, `${good}.x`, ''])
      expect(
        (await house.app.request('/api/sites', { headers: { Authorization: `Bearer ${token}` } })).status,
      ).toBe(401)
  })

  it('of one site opens no other, also when it is used by an administrator', async () => {
    const admin = someone('admin', { sites: ['North'] })
    expect((await house.call(admin, 'GET', '/api/electrodes?site=South')).status).toBe(403)
    const { items } = (await (await house.call(admin, 'GET', '/api/sites')).json()) as { items: [] }
    expect(items).toEqual([])
  })
})
