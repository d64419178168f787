import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { Person, Role } from '../../shared-lib/ports/identity.ts'
import { fillDemo, shortSurvey } from '../pages/demo.ts'
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
/** Handed in by somebody else for an electrode that nobody knows. */
const HELD = '/held/DEMO-NOBODY/HELD-1'
const MAILS = [
  { id: 'to-somebody-else', to: 'an-engineer@example.org', subject: 'About DEMO-S1', sentAtMs: 1 },
  { id: 'to-the-engineer', to: 'Engineer@example.org', subject: 'About DEMO-R1', sentAtMs: 2 },
]
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
/** What belongs to no site yet may be about any site: for who has all sites, here the quality team alone. */
const ALL_SITES: Role[] = ['quality']
const decides = who(OFFICE, ['quality'])

/** Files of somebody else: no site opens them. */
const bySender = who(ALL_SITES, ALL_SITES)
const registers = who(['admin'], [])
const page = (path: (at: Place) => string, may: May): Row => ({ path, may })
const form = (path: (at: Place) => string, may: May, body: Row['body'] = {}): Row => ({ path, may, body })
const words = (at: Place) => ({
  ...{ electrodeId: at.electrode, siteId: at.site, kind: 'rod', purpose: 'static', limitOhm: '100' },
  ...{ doneOn: '2020-01-01', what: 'disturbed' },
  // As it is: who is responsible must not change for the rows after.
  responsibleEmail: 'engineer@example.org',
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
  'GET /sites.csv': page(() => '/sites.csv', everybody),
  'GET /sites/:id': page((at) => `/sites/${at.site}`, bySite),
  'GET /sites/:id/summary': page((at) => `/sites/${at.site}/summary`, bySite),
  'GET /sites/:id/summary.csv': page((at) => `/sites/${at.site}/summary.csv`, bySite),
  'GET /sites/:id/labels': page((at) => `/sites/${at.site}/labels`, bySite),
  'GET /sites/:id/surveys/:ref': page((at) => `/sites/${at.site}/surveys/none`, bySite),
  'GET /sites/:id/surveys/:ref/record': page((at) => `/sites/${at.site}/surveys/none/record`, bySite),
  'GET /instruments': page(() => '/instruments', everybody),
  // An instrument belongs to no site.
  'GET /instruments/:id': page(() => '/instruments/none', everybody),
  'GET /instruments/:id/surveys/:ref': page(() => '/instruments/none/surveys/none', everybody),
  'GET /instruments/:id/surveys/:ref/record': page(() => '/instruments/none/surveys/none/record', everybody),
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
  'POST /findings/decisions': form(
    () => '/findings/decisions',
    who(OFFICE, OFFICE),
    (at) => ({ action: 'retest', reason: 'once more', f: decodeURIComponent(at.finding) }),
  ),
  'GET /findings/:id': page((at) => `/findings/${at.finding}`, byElectrode),
  'POST /findings/:id/decisions': form((at) => `/findings/${at.finding}/decisions`, decides, {
    action: 'retest',
    reason: 'once more',
  }),
  'POST /findings/:id/claim': form((at) => `/findings/${at.finding}/claim`, decides),
  'GET /held': page(() => '/held', who(ALL_SITES, ALL_SITES)),
  'GET /held/:electrode/:ref': page(() => HELD, who(ALL_SITES, ALL_SITES)),
  // Without an electrode to move it to: it stays held, for the next row that asks.
  'POST /held/:electrode/:ref/move': form(() => `${HELD}/move`, who(ALL_SITES, ALL_SITES)),
  // One's own address, here the engineer's; only an administrator of all sites chooses for any.
  'GET /mail-settings': page(
    () => '/mail-settings?address=engineer%40example.org',
    who(['engineer'], ['engineer']),
  ),
  'POST /mail-settings': form(
    () => '/mail-settings',
    who(['engineer'], ['engineer']),
    () => ({ address: 'engineer@example.org', rest: 'daily' }),
  ),
  'GET /due': page(() => '/due', everybody),
  'GET /due/calendar': page(() => '/due/calendar', everybody),
  'POST /due/calendar': form(() => '/due/calendar', everybody),
  'GET /register/electrode': page((at) => `/register/electrode?id=${at.electrode}`, registers),
  'POST /register/electrode': form(() => '/register/electrode', registers, words),
  'GET /register/file': page(() => '/register/file', who(['admin'], ['admin'])),
  // Without a file: told, for who may register at all.
  'POST /register/file': form(() => '/register/file', who(['admin'], ['admin'])),
  'GET /register/limit': page((at) => `/register/limit?electrode=${at.electrode}`, registers),
  'POST /register/limit': form(() => '/register/limit', registers, words),
  'GET /register/work': page((at) => `/register/work?electrode=${at.electrode}`, registers),
  'POST /register/work': form(() => '/register/work', registers, words),
  // An instrument belongs to no site: its calibrations are for administrators of all sites, and there is none here.
  'GET /register/calibration': page(() => '/register/calibration', who([], [])),
  'POST /register/calibration': form(() => '/register/calibration', who([], [])),
  // Who asked for it finds it, and nobody else.
  'GET /exports/:id': page(() => '/exports/theirs', who([], [])),
  'GET /exports/:id/file': page(() => '/exports/theirs/file', who([], [])),
  'GET /outbox': page(() => '/outbox', who(OFFICE, OFFICE)),
  'GET /outbox/:id': page(() => '/outbox/to-somebody-else', who(ALL_SITES, ALL_SITES)),
}

let house: House
const places = {} as Record<'own' | 'other', Place>
beforeAll(async () => {
  const mailed = (id: string) => MAILS.find((m) => m.id === id)
  const read = async (id: string) =>
    mailed(id) ? `To: ${mailed(id)!.to}\r\nSubject: ${mailed(id)!.subject}\r\n\r\nWords.\r\n` : null
  house = await openHouse({ outbox: { list: async () => MAILS, read } })
  await fillDemo(house)
  const held = shortSurvey('HELD-1', 'DEMO-NOBODY', '2026-04-30T10:00:00Z', 14)
  await house.deps.desk.handIn(held, { via: 'form', by: 'local:somebody-else' })
  // Far above its limit, so that there is a finding at the other site too.
  const bad = shortSurvey('DEMO-S1-2026', 'DEMO-S1', '2026-04-30T10:00:00Z', 40)
  await house.deps.desk.handIn(bad, { via: 'form', by: 'local:somebody-else' })
  await house.compare()
  const file = new FormData()
  file.set('file', new File(['survey_ref\nx\n'], 'a.csv', { type: 'text/csv' }))
  await house.post('quality', '/uploads', file, { id: 'local:somebody-else' })
  await house.deps.ledger.putExport({
    ...{ id: 'theirs', kind: 'surveys', query: {}, state: 'ready', byteLength: 1 },
    ...{
      person: { id: 'local:somebody-else', name: 'Else', role: 'quality', sites: '*' as const },
      askedAt: new Date(house.deps.clock.nowMs()).toISOString(),
    },
  })
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
        expect(`${role} ${where} ${status >= 500}`).toBe(`${role} ${where} false`)
        expect(`${role} at the ${where} site: ${barred ? 'barred' : 'let in'}`).toBe(
          `${role} at the ${where} site: ${TABLE[route]!.may[role][i] ? 'let in' : 'barred'}`,
        )
      }
  })

  it('name nothing of another site in any list, nor another engineer’s electrodes', async () => {
    const lists = ['/', '/electrodes', '/findings', '/findings.csv', '/due', '/held', '/uploads', '/outbox']
    for (const [role, theirs, more] of [
      ['field', /DEMO-S1|DEMO-SOUTH|DEMO-NOBODY/, ['/sites', '/sites.csv']],
      ['admin', /DEMO-S1|DEMO-SOUTH|DEMO-NOBODY/, ['/sites', '/sites.csv']],
      ['engineer', /DEMO-S1|DEMO-R2|DEMO-G1|DEMO-NOBODY/, ['/sites/DEMO-NORTH', '/sites/DEMO-NORTH/labels']],
    ] as const)
      for (const path of [...lists, ...more]) {
        const body = await (await house.get(role, path, PEOPLE[role])).text()
        expect(`${role} ${path} ${theirs.exec(body)?.[0] ?? 'nothing'}`).toBe(`${role} ${path} nothing`)
      }
    // What they look for is there to be seen by somebody.
    expect(await (await house.get('quality', '/electrodes')).text()).toMatch(/DEMO-S1/)
    expect(await (await house.get('quality', '/held')).text()).toMatch(/DEMO-NOBODY/)
    expect(await (await house.get('engineer', '/outbox', PEOPLE.engineer)).text()).toMatch(/About DEMO-R1/)
  })

  it('show a held survey to whoever handed it in', async () => {
    expect((await house.get('field', HELD, { id: 'local:somebody-else' })).status).toBe(200)
  })

  it('show a file that is not handed in yet to its sender alone', async () => {
    const file = new FormData()
    file.set('file', new File(['survey_ref,electrode_id\nDEMO-DRAFT,x\n'], 'draft.csv'))
    file.set('action', 'look')
    const sender = { id: 'local:sender' }
    const path = (await house.post('field', '/uploads', file, sender)).headers.get('location')!
    expect((await house.get('field', path, sender)).status).toBe(200)
    for (const role of ALL) {
      expect((await house.get(role, path)).status).toBe(404)
      expect(await (await house.get(role, '/uploads')).text()).not.toContain('draft.csv')
    }
  })
})

describe('one decision about several findings', () => {
  // Nobody is at them any more, whoever was for the table.
  beforeAll(async () => {
    for (const { finding } of [places.own, places.other])
      await house.post('quality', `/findings/${finding}/claim`, { 'let-go': 'yes' }, PEOPLE.quality)
  })
  const ids = () => [places.own, places.other].map((at) => decodeURIComponent(at.finding))
  const states = async () =>
    Promise.all(ids().map(async (id) => (await house.deps.ledger.getFinding(id))!.ruling?.action ?? 'none'))
  const press = (role: Role, action: string) =>
    house.post(
      role,
      '/findings/decisions',
      { action, reason: `by ${role}`, f: ids().join(' ') },
      PEOPLE[role],
    )

  it('is made about those that are the person’s and bars each of the others by itself', async () => {
    for (const role of ['admin', 'engineer'] as const) {
      await press('quality', 'reopen')
      expect(await states()).toEqual(['reopen', 'reopen'])
      const answer = await press(role, 'confirm')
      expect(answer.status).toBe(200)
      expect(await states()).toEqual(['confirm', 'reopen'])
      const body = await answer.text()
      expect(body).toContain('1 finding could not be found, or you may not decide about it.')
      expect(body).not.toContain('DEMO-S1')
    }
  })

  it('is not a crew’s at all', async () => {
    await press('quality', 'reopen')
    expect((await press('field', 'confirm')).status).toBe(403)
    expect(await states()).toEqual(['reopen', 'reopen'])
  })

  it('does not tell who is at a finding that is not the person’s', async () => {
    await press('quality', 'reopen')
    const at = `/findings/${places.other.finding}/claim`
    expect((await house.post('quality', at, {}, { name: 'Rosa Demo' })).status).toBe(303)
    const body = await (await press('admin', 'confirm')).text()
    expect(body).not.toMatch(/Rosa Demo|DEMO-S1/)
    expect(await states()).toEqual(['confirm', 'reopen'])
  })
})
