import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { SESSION_COOKIE } from '../../functions/web/session.ts'
import { BASE_URL, type House, openHouse, rodAt, someone } from '../web-api/house.ts'

let house: House
let cookie: string
beforeAll(async () => {
  house = await openHouse()
  await house.call(someone('admin'), 'PUT', '/api/electrodes/E-1', rodAt('North'))
  cookie = `${SESSION_COOKIE}=${(await house.identity.issueSession(someone('admin'))).token}`
}, 30_000)
afterAll(() => house.close())

/** Every address that changes something, with its parameters filled in. */
const unsafeRoutes = () => [
  ...new Set(
    house.app.routes
      .filter((r) => !['GET', 'ALL', 'HEAD', 'OPTIONS'].includes(r.method))
      .map((r) => `${r.method} ${r.path.replaceAll(/:\w+(\{[^}]*\})?/g, 'x')}`),
  ),
]
/** Opened by a signed ticket in its address, never by the cookie. */
const BY_TICKET = 'PUT /api/uploads/x/content'

describe('another web site that makes a signed-in browser send something', () => {
  it.each([
    ['with its own origin', { Origin: 'https://evil.example.org' }],
    ['with a hidden origin', { Origin: 'null' }],
    ['without an origin', {}],
    ['with an origin that only begins like ours', { Origin: `${BASE_URL}.example.org` }],
  ] as [string, Record<string, string>][])(
    'is refused on every address that changes something, %s',
    async (_, origin) => {
      const routes = unsafeRoutes()
      expect(routes.length).toBeGreaterThan(15)
      for (const route of routes.filter((r) => r !== BY_TICKET)) {
        const [method, path] = route.split(' ') as [string, string]
        const answer = await house.app.request(path, {
          method,
          headers: { Cookie: cookie, 'Content-Type': 'application/x-www-form-urlencoded', ...origin },
          body: 'a=b',
        })
        expect(`${route} ${answer.status}`).toBe(`${route} 403`)
        expect(await answer.text()).toContain('other-origin')
      }
    },
  )

  it('gains nothing by putting the session into a header or a bearer token into the cookie', async () => {
    const { token } = await house.identity.issueSession(someone('admin'))
    const asBearer = { Authorization: `Bearer ${token}` }
    expect((await house.app.request('/api/sites', { headers: asBearer })).status).toBe(401)
    const bearer = await house.bearer(someone('admin'))
    const asCookie = { Cookie: `${SESSION_COOKIE}=${bearer}` }
    expect((await house.app.request('/api/sites', { headers: asCookie })).status).toBe(401)
  })

  it('cannot read an answer: no address allows another origin, whatever is asked', async () => {
    const routes = [...new Set(house.app.routes.map((r) => r.path.replaceAll(/:\w+(\{[^}]*\})?/g, 'x')))]
    for (const path of routes) {
      const answer = await house.app.request(path, {
        headers: {
          Cookie: cookie,
          Origin: 'https://evil.example.org',
          'Access-Control-Request-Method': 'PUT',
        },
      })
      expect([...answer.headers.keys()].filter((k) => k.startsWith('access-control-'))).toEqual([])
      await answer.body?.cancel()
    }
  })
})
