import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { BASE_URL, type House, NOW_MS, openHouse, rodAt, someone } from './house.ts'

const quality = someone('quality')
let house: House
beforeAll(async () => {
  house = await openHouse()
}, 30_000)
afterAll(() => house.close())

const session = async (person = quality) =>
  `stakeline_session=${(await house.identity.issueSession(person)).token}`
const ask = (path: string, headers: Record<string, string> = {}, method = 'GET') =>
  house.app.request(path, { method, headers })

describe('signing in', () => {
  const signIn = (token: string) => ask(`/sign-in?token=${token}`)

  it('turns a sign-in link into a session cookie and leads on', async () => {
    const answer = await signIn(await house.identity.mintSignIn(quality, 600))
    expect([answer.status, answer.headers.get('location')]).toEqual([303, '/'])
    const cookie = answer.headers.get('set-cookie')!
    expect(cookie).toMatch(/^stakeline_session=[\w.-]+;/)
    expect(cookie).toMatch(/HttpOnly/)
    expect(cookie).toMatch(/SameSite=Lax/)
    expect(cookie).not.toMatch(/Secure/)
    expect((await ask('/api/sites', { Cookie: cookie.split(';')[0]! })).status).toBe(200)
  })

  it('takes a token or a whole link as pasted', async () => {
    expect((await signIn(await house.bearer(quality))).status).toBe(303)
    const link = `${BASE_URL}/sign-in?token=${await house.identity.mintSignIn(quality, 600)}`
    expect((await signIn(encodeURIComponent(` ${link}\n`))).status).toBe(303)
  })

  it('refuses a forged, an expired and a session token, and says what to do', async () => {
    const good = await house.identity.mintSignIn(quality, 600)
    const { token } = await house.identity.issueSession(quality)
    for (const bad of ['', 'x', `${good.slice(0, -6)}AAAAAA`, token]) {
      const answer = await signIn(bad)
      expect(answer.status).toBe(401)
      expect(answer.headers.get('set-cookie')).toBeNull()
      expect(await answer.text()).toContain('Take a fresh one')
    }
    house.setNow(NOW_MS + 601_000)
    expect((await signIn(good)).status).toBe(401)
    house.setNow(NOW_MS)
  })

  it('takes no sign-in link as a bearer token, and no bearer token as a session', async () => {
    const link = await house.identity.mintSignIn(quality, 600)
    expect((await ask('/api/sites', { Authorization: `Bearer ${link}` })).status).toBe(401)
    expect(
      (await ask('/api/sites', { Cookie: `stakeline_session=${await house.bearer(quality)}` })).status,
    ).toBe(401)
  })

  it('looks at a bearer token alone when one is sent', async () => {
    expect((await ask('/api/sites', { Authorization: 'Bearer x', Cookie: await session() })).status).toBe(401)
  })

  it('brings a visitor back to the page they wanted, and never to another host', async () => {
    const led = await ask('/electrodes?site=North')
    expect(led.status).toBe(303)
    const kept = (await ask(led.headers.get('location')!)).headers.get('set-cookie')!.split(';')[0]!
    const token = await house.identity.mintSignIn(quality, 600)
    const back = await ask(`/sign-in?token=${token}`, { Cookie: kept })
    expect(back.headers.get('location')).toBe('/electrodes?site=North')
    for (const away of ['//evil.example', 'https://evil.example', '/\\evil.example', '/%09/evil.example']) {
      const cookie = `stakeline_wanted=${encodeURIComponent(away)}`
      const answer = await ask(`/sign-in?token=${token}`, { Cookie: cookie })
      const target = new URL(answer.headers.get('location')!, BASE_URL)
      expect(target.origin).toBe(BASE_URL)
      expect(
        (await ask(`/sign-in?back=${encodeURIComponent(away)}`)).headers.get('set-cookie') ?? '',
      ).not.toContain('evil.example%2F')
    }
  })

  it('marks the cookie Secure where the service is reached by https', async () => {
    const secure = await openHouse({ secureCookies: true, baseUrl: 'https://stakeline.example.org' })
    const token = await secure.identity.mintSignIn(quality, 600)
    const answer = await secure.app.request(`/sign-in?token=${token}`)
    expect(answer.headers.get('set-cookie')).toMatch(/Secure/)
    expect(answer.headers.get('strict-transport-security')).toMatch(/max-age/)
    await secure.close()
  })

  it('ends with signing out', async () => {
    const answer = await ask('/sign-out', { Cookie: await session(), Origin: BASE_URL }, 'POST')
    expect(answer.status).toBe(303)
    expect(answer.headers.get('set-cookie')).toMatch(/stakeline_session=;.*Max-Age=0/)
  })
})

describe('a request from another web site', () => {
  const put = (headers: Record<string, string>) =>
    house.app.request('/api/electrodes/C-1', {
      method: 'PUT',
      body: JSON.stringify(rodAt('North')),
      headers: { 'Content-Type': 'application/json', ...headers },
    })

  it.each([
    ['names another origin', { Origin: 'https://evil.example' }],
    ['names no origin', {}],
    ['has the origin "null"', { Origin: 'null' }],
    ['has an origin that only begins like ours', { Origin: `${BASE_URL}.evil.example` }],
  ])('is refused with a session when it %s', async (_what, headers) => {
    const answer = await put({
      Cookie: await session(someone('admin')),
      ...(headers as Record<string, string>),
    })
    expect(answer.status).toBe(403)
    expect(await answer.json()).toMatchObject({ type: '/problems/other-origin' })
    expect(await house.deps.ledger.getElectrode('C-1')).toBeNull()
  })

  it('is told from our own pages by the origin, and does not concern bearer tokens', async () => {
    expect((await put({ Cookie: await session(someone('admin')), Origin: BASE_URL })).status).toBe(201)
    expect((await put({ Authorization: `Bearer ${await house.bearer(someone('admin'))}` })).status).toBe(200)
  })

  it.each(['POST', 'PUT', 'DELETE', 'PATCH'])('is refused for %s whatever the address', async (method) => {
    const headers = { Cookie: await session(), Origin: 'https://evil.example' }
    for (const path of ['/uploads', '/api/nothing', '/sign-out'])
      expect((await ask(path, headers, method)).status).toBe(403)
  })
})

describe('every answer', () => {
  it.each([
    ['a page', '/sign-in', 200],
    ['the API', '/api/sites', 401],
    ['an address that is not there', '/api/nothing', 404],
    ['the health check', '/healthz', 200],
  ])('has a request id and the security headers: %s', async (_what, path, status) => {
    const answer = await ask(path)
    expect(answer.status).toBe(status)
    expect(answer.headers.get('x-request-id')).toMatch(/^[\w-]{16,}$/)
    const policy = answer.headers.get('content-security-policy')!
    expect(policy).toContain("default-src 'none'")
    expect(policy).toContain("frame-ancestors 'none'")
    expect(policy).not.toContain('unsafe')
    expect(answer.headers.get('x-content-type-options')).toBe('nosniff')
    expect(answer.headers.get('x-frame-options')).toBe('DENY')
    // With `no-referrer` a browser sends `Origin: null` with our own forms.
    expect(answer.headers.get('referrer-policy')).toBe('same-origin')
  })

  it('keeps a request id that was sent, if it is one', async () => {
    expect((await ask('/healthz', { 'X-Request-Id': 'abc-123' })).headers.get('x-request-id')).toBe('abc-123')
    expect((await ask('/healthz', { 'X-Request-Id': '<b>' })).headers.get('x-request-id')).not.toBe('<b>')
  })
})

describe('a problem', () => {
  it('is a document of RFC 9457 whose type opens an explanation', async () => {
    const answer = await ask('/api/sites')
    expect(answer.headers.get('content-type')).toBe('application/problem+json')
    const body = (await answer.json()) as { type: string; status: number; requestId: string }
    expect(body).toMatchObject({
      status: 401,
      title: expect.any(String),
      detail: expect.any(String),
      instance: '/api/sites',
    })
    expect(body.requestId).toBe(answer.headers.get('x-request-id'))
    const explained = await ask(body.type)
    expect([explained.status, await explained.text()]).toEqual([200, expect.stringContaining('401')])
  })

  it('names the methods an address takes', async () => {
    const answer = await ask('/api/sites', { Authorization: `Bearer ${await house.bearer(quality)}` }, 'PUT')
    expect(answer.status).toBe(405)
    expect(answer.headers.get('allow')).toContain('GET')
  })

  it('is a page for a person and a document for a program', async () => {
    const cookie = await session()
    const page = await ask('/nowhere', { Cookie: cookie, Accept: 'text/html' })
    expect([page.status, page.headers.get('content-type')]).toEqual([404, 'text/html; charset=utf-8'])
    const document = await ask('/nowhere', { Cookie: cookie })
    expect([document.status, document.headers.get('content-type')]).toEqual([404, 'application/problem+json'])
  })

  it('gives nothing internal away when something breaks', async () => {
    const broken = await openHouse()
    await broken.close()
    const written: string[] = []
    const { error } = console
    console.error = (line: string) => written.push(line)
    const answer = await broken.call(quality, 'GET', '/api/electrodes/E-1').finally(() => {
      console.error = error
    })
    const text = await answer.text()
    expect(answer.status).toBeGreaterThanOrEqual(500)
    expect(text).not.toMatch(/ECONN|node_modules|at \w+ \(|dynamo/i)
    expect(written.join('')).toContain(answer.headers.get('x-request-id')!)
  }, 30_000)
})
