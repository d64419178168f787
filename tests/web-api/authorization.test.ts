import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { apiRoutes } from '../../functions/web/api/api-routes.ts'
import type { Person } from '../../shared-lib/ports/identity.ts'
import { BASE_URL, type House, NOW_MS, openHouse, rodAt, shortSurvey, someone } from './house.ts'

/**
 * Who may do what, as one table: every route, every role, at the own site (North) and at another's (South). The engineer is named
 * for N-1 and not for S-1; the administrator has North only.
 */
const PEOPLE: Record<string, Person> = {
  field: someone('field', { sites: ['North'] }),
  quality: someone('quality'),
  engineer: someone('engineer', { email: 'ana@example.org' }),
  admin: someone('admin', { sites: ['North'] }),
}
const OWNER = someone('admin', { id: 'local:owner' })

interface Place {
  site: string
  electrode: string
  finding: string
  upload: string
}
interface Row {
  route: string
  ask(at: Place): { path: string; body?: unknown; csv?: string }
  /** Status by role: [own site, other site]. */
  may: Record<'field' | 'quality' | 'engineer' | 'admin', [number, number]>
}

const all = (status: number): Row['may'] => ({
  field: [status, status],
  quality: [status, status],
  engineer: [status, status],
  admin: [status, status],
})
const adminOnly = (own: number, other: number): Row['may'] => ({ ...all(403), admin: [own, other] })
const bySite = (own: number): Row['may'] => ({
  field: [own, 403],
  quality: [own, own],
  engineer: [own, own],
  admin: [own, 403],
})
const byElectrode = (own: number): Row['may'] => ({ ...bySite(own), engineer: [own, 403] })
let fresh = 0

const TABLE: Row[] = [
  {
    route: 'POST /api/surveys',
    ask: ({ electrode }) => ({
      path: '/api/surveys',
      body: shortSurvey(`Z-${++fresh}`, electrode, '2026-04-01T10:00:00Z', 11),
    }),
    // "Any role may hand in": an engineer too for an electrode he is not named for.
    may: bySite(201),
  },
  { route: 'POST /api/uploads', ask: () => ({ path: '/api/uploads', csv: 'a,b\n' }), may: all(202) },
  {
    route: 'POST /api/uploads/ticket',
    ask: () => ({ path: '/api/uploads/ticket', body: {} }),
    may: all(201),
  },
  {
    route: 'GET /api/uploads/:id',
    ask: ({ upload }) => ({ path: `/api/uploads/${upload}` }),
    // Somebody else's upload may hold surveys of any site: it is for who has all of them, here the quality team alone.
    may: { ...all(403), quality: [200, 200] },
  },
  {
    route: 'PUT /api/uploads/:id/content',
    ask: () => ({ path: '/api/uploads/u/content?ticket=forged', csv: 'a' }),
    may: all(403),
  },
  {
    route: 'GET /api/electrodes',
    ask: ({ site }) => ({ path: `/api/electrodes?site=${site}` }),
    may: bySite(200),
  },
  {
    route: 'GET /api/electrodes/:id',
    ask: ({ electrode }) => ({ path: `/api/electrodes/${electrode}` }),
    may: byElectrode(200),
  },
  {
    route: 'PUT /api/electrodes/:id',
    ask: ({ electrode, site }) => ({
      path: `/api/electrodes/${electrode}`,
      body: rodAt(site, { responsibleEmail: site === 'North' ? 'ana@example.org' : 'bo@example.org' }),
    }),
    may: adminOnly(200, 403),
  },
  {
    route: 'GET /api/findings',
    ask: ({ site }) => ({ path: `/api/findings?site=${site}` }),
    may: bySite(200),
  },
  {
    route: 'GET /api/findings/:id',
    ask: ({ finding }) => ({ path: `/api/findings/${finding}` }),
    may: byElectrode(200),
  },
  {
    route: 'POST /api/findings/:id/decisions',
    ask: ({ finding }) => ({
      path: `/api/findings/${finding}/decisions`,
      body: { action: 'retest', reason: `once more ${++fresh}` },
    }),
    may: { ...byElectrode(201), field: [403, 403] },
  },
  {
    // Each finding stands for itself: what may not be decided is told in the answer, without a word about it.
    route: 'POST /api/findings/decisions',
    ask: ({ finding }) => ({
      path: '/api/findings/decisions',
      body: { action: 'retest', reason: `once more ${++fresh}`, count: 1, findings: [{ id: finding }] },
    }),
    may: { quality: [200, 200], engineer: [200, 200], admin: [200, 200], field: [403, 403] },
  },
  {
    route: 'GET /api/electrodes/:id/plan',
    ask: ({ electrode }) => ({ path: `/api/electrodes/${electrode}/plan?roomM=20` }),
    may: byElectrode(200),
  },
  { route: 'GET /api/due', ask: ({ site }) => ({ path: `/api/due?site=${site}` }), may: bySite(200) },
  {
    route: 'GET /api/field-books',
    ask: ({ site }) => ({ path: `/api/field-books?site=${site}` }),
    may: bySite(200),
  },
  // One's own mail, for a sign-in with an address; another's is for administrators of all sites.
  {
    route: 'GET /api/mail-settings',
    ask: () => ({ path: '/api/mail-settings?address=ana%40example.org' }),
    may: { ...all(403), engineer: [200, 200] },
  },
  {
    route: 'PUT /api/mail-settings',
    ask: () => ({ path: '/api/mail-settings?address=ana%40example.org', body: { rest: 'daily' } }),
    may: { ...all(403), engineer: [200, 200] },
  },
  { route: 'GET /api/sites', ask: () => ({ path: '/api/sites' }), may: all(200) },
  {
    route: 'PUT /api/instruments/:id',
    ask: () => ({ path: '/api/instruments/I-1', body: { calibratedOn: '2026-01-01' } }),
    // An instrument belongs to no site, and tests of every site are judged by its calibrations.
    may: adminOnly(403, 403),
  },
  {
    route: 'PUT /api/limits/:electrodeId',
    ask: ({ electrode }) => ({
      path: `/api/limits/${electrode}`,
      body: { purpose: 'static', limitOhm: 100 },
    }),
    may: adminOnly(200, 403),
  },
  {
    route: 'POST /api/works',
    ask: ({ electrode }) => ({
      path: '/api/works',
      body: { electrodeId: electrode, doneOn: '2020-01-01', what: 'disturbed', notes: `${++fresh}` },
    }),
    may: { ...adminOnly(201, 403) },
  },
  {
    route: 'POST /api/register',
    ask: ({ site }) => ({
      path: '/api/register',
      csv: `electrode_id,site_id,kind\nreg-${site},${site},rod\n`,
    }),
    may: adminOnly(200, 403),
  },
  {
    route: 'GET /api/parameters',
    ask: () => ({ path: '/api/parameters' }),
    may: { ...all(200), field: [403, 403] },
  },
  {
    route: 'POST /api/parameters/:version/adopt',
    ask: () => ({ path: '/api/parameters/none/adopt' }),
    // It counts for every site, so an administrator of one is not enough; there is no such version for those who may.
    may: { field: [403, 403], quality: [403, 403], engineer: [404, 404], admin: [403, 403] },
  },
  { route: 'GET /api/column-maps', ask: () => ({ path: '/api/column-maps' }), may: all(200) },
  {
    route: 'PUT /api/column-maps/:name',
    ask: () => ({ path: '/api/column-maps/crew', body: { columns: { Ohms: 'resistance_ohm' } } }),
    // A map belongs to no site: files of every site are read by it.
    may: adminOnly(403, 403),
  },
  {
    route: 'GET /api/export/surveys.csv',
    ask: ({ site }) => ({ path: `/api/export/surveys.csv?site=${site}` }),
    may: bySite(200),
  },
  ...(['electrodes', 'limits', 'works'] as const).map((table) => ({
    route: 'GET /api/export/register.csv',
    ask: ({ site }: Place) => ({ path: `/api/export/register.csv?table=${table}&site=${site}` }),
    may: bySite(200),
  })),
  // Somebody else's: there is nothing to be found under one's own name, whatever the role.
  { route: 'GET /api/exports/:id', ask: () => ({ path: '/api/exports/theirs' }), may: all(404) },
  { route: 'GET /api/exports/:id/file', ask: () => ({ path: '/api/exports/theirs/file' }), may: all(404) },
  { route: 'GET /api/openapi.json', ask: () => ({ path: '/api/openapi.json' }), may: all(200) },
]
/** Answered without a token, and what then. */
const OPEN: Record<string, number> = { 'GET /api/openapi.json': 200, 'PUT /api/uploads/:id/content': 403 }

let house: House
const places = {} as Record<'own' | 'other', Place>

beforeAll(async () => {
  house = await openHouse()
  await house.deps.ledger.putExport({
    ...{ id: 'theirs', person: OWNER, kind: 'surveys', query: {}, askedAt: new Date(NOW_MS).toISOString() },
    ...{ state: 'ready', byteLength: 1 },
  })
  for (const [where, site, id, email] of [
    ['own', 'North', 'N-1', 'ana@example.org'],
    ['other', 'South', 'S-1', 'bo@example.org'],
  ] as const) {
    await house.call(OWNER, 'PUT', `/api/electrodes/${id}`, rodAt(site, { responsibleEmail: email }))
    await house.call(OWNER, 'POST', '/api/surveys', shortSurvey(`${id}-a`, id, '2026-03-01T10:00:00Z', 60))
    await house.compare()
    const found = await house.call(OWNER, 'GET', `/api/findings?electrode=${id}`)
    const { items } = (await found.json()) as { items: { id: string; code: string }[] }
    const csv = { 'Content-Type': 'text/csv' }
    const sent = await house.call(OWNER, 'POST', '/api/uploads', 'a,b\n', csv)
    const upload = ((await sent.json()) as { id: string }).id
    const finding = encodeURIComponent(items.find((f) => f.code === 'limit-exceeded')!.id)
    places[where] = { site, electrode: id, finding, upload }
  }
}, 30_000)
afterAll(() => house.close())

async function ask(who: Person | null, row: Row, at: Place): Promise<Response> {
  const { path, body, csv } = row.ask(at)
  const method = row.route.split(' ')[0]!
  return csv === undefined
    ? house.call(who, method, path, body)
    : house.call(who, method, path, csv, { 'Content-Type': 'text/csv' })
}

const CASES = TABLE.flatMap((row) =>
  Object.entries(row.may).flatMap(([role, [own, other]]) => [
    { route: row.route, row, role, where: 'own' as const, status: own },
    { route: row.route, row, role, where: 'other' as const, status: other },
  ]),
)

describe('the API', () => {
  it('has a row in this table for each of its routes', () => {
    const routes = apiRoutes().map((r) => `${r.method.toUpperCase()} ${r.path}`)
    expect([...new Set(TABLE.map((row) => row.route))].sort()).toEqual(routes.sort())
  })

  it('answers at no other address: a route that goes round the list of routes would have no row', () => {
    const listed = new Set(apiRoutes().map((r) => `${r.method.toUpperCase()} ${r.path}`))
    const mounted = house.app.routes.filter((r) => r.method !== 'ALL' && r.path.startsWith('/api'))
    expect(mounted.length).toBeGreaterThanOrEqual(listed.size)
    expect(mounted.map((r) => `${r.method} ${r.path}`).filter((route) => !listed.has(route))).toEqual([])
  })

  it.each(CASES)(
    'answers $route for $role at the $where site with $status',
    async ({ row, role, where, status }) => {
      const answer = await ask(PEOPLE[role]!, row, places[where])
      expect(answer.status).toBe(status)
      if (status === 403) expect(answer.headers.get('content-type')).toBe('application/problem+json')
      await answer.body?.cancel()
    },
  )

  it.each(TABLE)('answers $route for nobody with 401, or says why it is open', async (row) => {
    const answer = await ask(null, row, places.own)
    expect(answer.status).toBe(OPEN[row.route] ?? 401)
    if (answer.status === 401) expect(answer.headers.get('www-authenticate')).toBe('Bearer')
  })

  it('gives an engineer without an address every electrode of the token’s sites', async () => {
    const stand = someone('engineer', { sites: ['North'] })
    expect((await house.call(stand, 'GET', '/api/electrodes/N-1')).status).toBe(200)
    expect((await house.call(stand, 'GET', '/api/electrodes/S-1')).status).toBe(403)
  })

  it('lists no electrode of another site, whatever is asked for', async () => {
    for (const role of ['field', 'admin']) {
      for (const path of [
        '/api/electrodes',
        '/api/findings?state=all',
        '/api/due?to=2099-01',
        '/api/sites',
      ]) {
        const { items } = (await (await house.call(PEOPLE[role]!, 'GET', path)).json()) as {
          items: { siteId: string }[]
        }
        expect(items.length).toBeGreaterThan(0)
        expect(items.every((item) => item.siteId === 'North')).toBe(true)
      }
    }
  })
})

describe('what more than one site relies on', () => {
  const calibrations = 'instrument_id,calibrated_on\nI-9,2026-01-01\n'
  const csv = { 'Content-Type': 'text/csv' }
  const acts = {
    calibration: (who: Person) =>
      house.call(who, 'PUT', '/api/instruments/I-9', { calibratedOn: '2026-01-01' }),
    'table of instruments': (who: Person) =>
      house.call(who, 'POST', '/api/register?table=instruments', calibrations, csv),
    'column map': (who: Person) =>
      house.call(who, 'PUT', '/api/column-maps/all', { columns: { Ohms: 'resistance_ohm' } }),
    'mail of somebody else': (who: Person) =>
      house.call(who, 'PUT', '/api/mail-settings?address=bo%40example.org', { rest: 'daily' }),
  }

  it.each(Object.entries(acts))(
    'is changed by an administrator of all sites, not of some: %s',
    async (_, act) => {
      const barred = await act(PEOPLE.admin!)
      expect(barred.status).toBe(403)
      expect(await barred.json()).toMatchObject({ type: '/problems/all-sites-needed' })
      expect((await act(OWNER)).status).toBe(200)
    },
  )

  it('leaves no trace where it was barred', async () => {
    const other = { calibratedOn: '2025-07-07' }
    expect((await house.call(PEOPLE.admin!, 'PUT', '/api/instruments/I-77', other)).status).toBe(403)
    const books = await house.call(OWNER, 'GET', '/api/field-books?site=North')
    expect(await books.text()).not.toContain('I-77')
  })
})

describe('the pages', () => {
  it('lead a visitor who is not signed in to the sign-in page, and refuse what such a visitor sends', async () => {
    // A calendar program cannot sign in: its link carries a secret of its own (tests/pages/office.test.ts).
    const open = /^\/(api\/|problems\/|assets\/|calendar\/|healthz|sign-in|\*|api\/\*)/
    const routes = house.app.routes.filter((r) => r.method !== 'ALL' && !open.test(r.path) && r.path !== '/*')
    expect(routes.length).toBeGreaterThan(10)
    for (const { method, path } of routes) {
      const address = path.replaceAll(/:\w+(\{[^}]*\})?/g, 'x')
      const answer = await house.app.request(address, {
        method,
        headers: { Origin: BASE_URL, Accept: 'text/html' },
      })
      const said = `${method} ${path} ${answer.status} ${answer.headers.get('location') ?? ''}`
      if (method === 'GET') expect(said).toMatch(/ 303 \/sign-in/)
      else if (path !== '/sign-out') expect(said).toMatch(/ 401 | 303 \/sign-in/)
    }
  })
})
