import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { Person, Role } from '../../shared-lib/ports/identity.ts'
import { fillDemo } from '../pages/demo.ts'
import { type House, openHouse } from '../pages/house.ts'

/**
 * Who may open or send what among the pages, as one table: every route, every role, at the own site and at another's. The crew and
 * the administrator have the north site only, the engineer is named for R1 alone, the quality team has everything. The API has a
 * table of its own. A page without a row fails.
 */
const PEOPLE: Record<Role, Partial<Person>> = {
  field: { sites: ['DEMO-NORTH'] },
  quality: {},
  engineer: { email: 'engineer@example.org' },
  admin: { sites: ['DEMO-NORTH'] },
}
interface Place {
  site: string
  electrode: string
  survey: string
  finding: string
  upload: string
}
type May = Record<Role, [own: boolean, other: boolean]>
interface Row {
  path(at: Place): string
  /** The fields of a form. */
  body?: Record<string, string> | ((at: Place) => Record<string, string>)
  may: May
}

const who = (own: Role[], other: Role[]): May =>
  Object.fromEntries(
    Object.keys(PEOPLE).map((role) => [role, [own.includes(role as Role), other.includes(role as Role)]]),
  ) as unknown as May
const ALL: Role[] = ['field', 'quality', 'engineer', 'admin']
const everybody = who(ALL, ALL)
/** Who has the site: an engineer without sites of his own has all of them. */
const bySite = who(ALL, ['quality', 'engineer'])
/** An engineer only where the register names him. */
const byElectrode = who(ALL, ['quality'])
const OFFICE: Role[] = ['quality', 'engineer', 'admin']
/** Who matches surveys of electrodes that nobody knows: they belong to no site yet. */
const MATCHERS: Role[] = ['quality', 'admin']
const decides = who(OFFICE, ['quality'])

/** Uploads of somebody else: no site opens them. */
const bySender = who(['quality', 'admin'], ['quality', 'admin'])
const registers = who(['admin'], [])
const page = (path: (at: Place) => string, may: May): Row => ({ path, may })
const form = (path: (at: Place) => string, may: May, body: Row['body'] = {}): Row => ({ path, may, body })
const words = (at: Place) => ({
  ...{ electrodeId: at.electrode, siteId: at.site, kind: 'rod', purpose: 'static', limitOhm: '100' },
  ...{ doneOn: '2020-01-01', what: 'disturbed' },
})

const TABLE: Record<string, Row> = {
  'GET /healthz': page(() => '/healthz', everybody),
  'GET /sign-in': page(() => '/sign-in', everybody),
  'POST /sign-out': form(() => '/sign-out', everybody),
  // Opened by a secret address of its own, not by a session.
  'GET /calendar/:name': page(() => '/calendar/nobody.ics', everybody),
  'GET /': page(() => '/', everybody),
  'GET /surveys/new': page((at) => `/surveys/new?electrode=${at.electrode}`, everybody),
  'POST /surveys/new': form(
    () => '/surveys/new',
    bySite,
    (at) => ({
      electrodeId: at.electrode,
      ...{ test: 'short', shown: 'short', unit: 'm', surveyRef: 'P-1', testedAt: '2026-05-04T10:20' },
      ...{ measuredAs: 'electrode-alone', currentProbeM: '30', 'r0-ohm': '11', 'r0-condition': 'ok' },
      ...{ 'r1-ohm': '11', 'r1-condition': 'ok', 'r2-ohm': '11', 'r2-condition': 'ok', action: 'check' },
    }),
  ),
  'GET /plan': page(() => '/plan', everybody),
  'GET /e/:id': page((at) => `/e/${at.electrode}`, everybody),
  'GET /on-this-phone': page(() => '/on-this-phone', everybody),
  'GET /electrodes': page(() => '/electrodes', everybody),
  'GET /electrodes/:id': page((at) => `/electrodes/${at.electrode}`, byElectrode),
  'GET /electrodes/:id/surveys/:ref': page(
    (at) => `/electrodes/${at.electrode}/surveys/${at.survey}`,
    byElectrode,
  ),
  'GET /electrodes/:id/surveys/:ref/record': page(
    (at) => `/electrodes/${at.electrode}/surveys/${at.survey}/record`,
    byElectrode,
  ),
  'GET /sites': page(() => '/sites', everybody),
  'GET /sites/:id': page((at) => `/sites/${at.site}`, bySite),
  'GET /sites/:id/labels': page((at) => `/sites/${at.site}/labels`, bySite),
  'GET /sites/:id/surveys/:ref': page((at) => `/sites/${at.site}/surveys/none`, bySite),
  'GET /instruments': page(() => '/instruments', everybody),
  // An instrument belongs to no site.
  'GET /instruments/:id': page(() => '/instruments/none', everybody),
  'GET /instruments/:id/surveys/:ref': page(() => '/instruments/none/surveys/none', everybody),
  'GET /uploads': page(() => '/uploads', everybody),
  'POST /uploads': form(() => '/uploads', everybody),
  'GET /uploads/:id': page((at) => `/uploads/${at.upload}`, bySender),
  // What is not handed in yet is its sender's alone.
  'POST /uploads/:id/look': form((at) => `/uploads/${at.upload}/look`, who([], [])),
  'POST /uploads/:id/hand-in': form((at) => `/uploads/${at.upload}/hand-in`, who([], [])),
  'POST /uploads/:id/mend': form((at) => `/uploads/${at.upload}/mend`, bySender),
  'GET /uploads/:id/refused.csv': page((at) => `/uploads/${at.upload}/refused.csv`, bySender),
  'GET /uploads/:id/refused-rows.csv': page((at) => `/uploads/${at.upload}/refused-rows.csv`, bySender),
  'GET /findings': page(() => '/findings', everybody),
  'GET /findings.csv': page(() => '/findings.csv', everybody),
  // Each finding is looked at for itself, with its own bar: what is not the person's is told, not decided.
  'POST /findings/decisions': form(() => '/findings/decisions', everybody),
  'GET /findings/:id': page((at) => `/findings/${at.finding}`, byElectrode),
  'POST /findings/:id/decisions': form((at) => `/findings/${at.finding}/decisions`, decides, {
    action: 'retest',
    reason: 'once more',
  }),
  'POST /findings/:id/claim': form((at) => `/findings/${at.finding}/claim`, decides),
  'GET /held': page(() => '/held', who(MATCHERS, MATCHERS)),
  'GET /held/:electrode/:ref': page(() => '/held/none/none', everybody),
  'POST /held/:electrode/:ref/move': form(() => '/held/none/none/move', who(MATCHERS, MATCHERS)),
  'GET /due': page(() => '/due', everybody),
  'GET /due/calendar': page(() => '/due/calendar', everybody),
  'POST /due/calendar': form(() => '/due/calendar', everybody),
  'GET /register/electrode': page((at) => `/register/electrode?id=${at.electrode}`, registers),
  'POST /register/electrode': form(() => '/register/electrode', registers, words),
  // An empty form with the id that was asked for: whether it may be written is looked at when it is sent.
  'GET /register/limit': page((at) => `/register/limit?electrode=${at.electrode}`, who(['admin'], ['admin'])),
  'POST /register/limit': form(() => '/register/limit', registers, words),
  'GET /register/work': page((at) => `/register/work?electrode=${at.electrode}`, who(['admin'], ['admin'])),
  'POST /register/work': form(() => '/register/work', registers, words),
  // An instrument belongs to no site.
  'GET /register/calibration': page(() => '/register/calibration', who(['admin'], ['admin'])),
  'POST /register/calibration': form(() => '/register/calibration', who(['admin'], ['admin'])),
}

let house: House
const places = {} as Record<'own' | 'other', Place>
beforeAll(async () => {
  house = await openHouse()
  await fillDemo(house)
  const file = new FormData()
  file.set('file', new File(['survey_ref\nx\n'], 'a.csv', { type: 'text/csv' }))
  await house.post('quality', '/uploads', file, { id: 'local:somebody-else' })
  const [upload] = (await house.deps.ledger.listUploads({ by: 'local:somebody-else' })).items
  for (const [where, electrode] of [
    ['own', 'DEMO-R1'],
    ['other', 'DEMO-S1'],
  ] as const) {
    const { items } = await house.deps.ledger.listFindings({ electrodeId: electrode, state: 'all' })
    const kept = (await house.deps.ledger.readElectrodeFile(electrode))!
    places[where] = {
      site: kept.record.electrode.siteId,
      electrode,
      survey: encodeURIComponent(kept.surveys[0]!.survey.surveyRef),
      finding: encodeURIComponent(items[0]!.id),
      upload: upload!.id,
    }
  }
}, 30_000)
afterAll(() => house.close())

/** Everything a browser can ask for beside the API and what is the same for everybody. */
const routes = (): string[] => [
  ...new Set(
    house.app.routes
      .filter((r) => r.method !== 'ALL' && !/^\/(api|problems|assets)\//.test(r.path))
      .filter((r) => !/^\/(sw\.js|manifest\.webmanifest|favicon\.ico|icon)/.test(r.path))
      .map((r) => `${r.method} ${r.path}`),
  ),
]

async function ask(route: string, role: Role, at: Place): Promise<Response> {
  const { path, body } = TABLE[route]!
  const fields = typeof body === 'function' ? body(at) : (body ?? {})
  return route.startsWith('GET ')
    ? house.get(role, path(at), PEOPLE[role])
    : house.post(role, path(at), fields, PEOPLE[role])
}

describe('the pages', () => {
  it('have a row in this table for each of them', () => {
    expect(routes().filter((route) => !TABLE[route])).toEqual([])
    expect(Object.keys(TABLE).filter((route) => !routes().includes(route))).toEqual([])
  })

  it.each(Object.keys(TABLE))('let in by %s whom the table names and nobody else', async (route) => {
    for (const role of ALL)
      for (const [i, where] of (['own', 'other'] as const).entries()) {
        const { status } = await ask(route, role, places[where])
        // Of what is somebody else's some pages say that it is not there: that bars as well.
        const barred = status === 401 || status === 403 || (status === 404 && !TABLE[route]!.may[role][i])
        expect(status).toBeLessThan(500)
        expect(`${role} at the ${where} site: ${barred ? 'barred' : 'let in'}`).toBe(
          `${role} at the ${where} site: ${TABLE[route]!.may[role][i] ? 'let in' : 'barred'}`,
        )
      }
  })

  it('name nothing of another site in any list', async () => {
    for (const role of ['field', 'admin'] as const)
      for (const path of ['/', '/electrodes', '/sites', '/findings', '/findings.csv', '/due', '/held']) {
        const body = await (await house.get(role, path, PEOPLE[role])).text()
        expect(`${role} ${path} ${body.includes('DEMO-S1') || body.includes('DEMO-SOUTH')}`).toBe(
          `${role} ${path} false`,
        )
      }
  })
})
