import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { apiRoutes } from '../../functions/web/api/api-routes.ts'
import { type House, openHouse, rodAt, shortSurvey, someone } from './house.ts'

const admin = someone('admin')
/** An id with everything that an address gives a meaning to. */
const ODD = 'E/7 %41?ü#1'
let house: House

beforeAll(async () => {
  house = await openHouse()
  await house.call(admin, 'PUT', `/api/electrodes/${encodeURIComponent(ODD)}`, rodAt('North', { tag: 'T' }))
  for (const [ref, day, ohm] of [
    ['a', '2025-03-01', 20],
    ['b', '2026-03-01', 60],
  ] as const)
    await house.call(admin, 'POST', '/api/surveys', shortSurvey(ref, ODD, `${day}T10:00:00Z`, ohm))
  await house.compare()
}, 30_000)
afterAll(() => house.close())

const routes = apiRoutes()

/** The answer's JSON must be exactly what the description says: nothing missing, nothing that is not described. */
async function expectDescribed(
  route: string,
  path: string,
  body?: unknown,
): Promise<Record<string, unknown>> {
  const [method, pattern] = route.split(' ') as [string, string]
  const answer = await house.call(admin, method, path, body)
  const declared = routes.find((r) => r.method.toUpperCase() === method && r.path === pattern)!.answers[
    answer.status
  ]
  expect(declared, `${route} answered ${answer.status}`).toBeDefined()
  const json = (await answer.json()) as Record<string, unknown>
  expect(declared!.schema!.parse(json)).toEqual(json)
  return json
}

describe('what the API answers is what it describes', () => {
  const odd = encodeURIComponent(ODD)

  it('for surveys: stored, there already, held', async () => {
    const survey = shortSurvey('c', ODD, '2026-04-01T10:00:00Z', 30)
    await expectDescribed('POST /api/surveys', '/api/surveys', survey)
    await expectDescribed('POST /api/surveys', '/api/surveys', survey)
    await expectDescribed('POST /api/surveys', '/api/surveys', { ...survey, electrodeId: 'not there' })
  })

  it('for an electrode with history and decisions, under an id with odd characters', async () => {
    const { items } = await expectDescribed('GET /api/findings', '/api/findings')
    const { id } = (items as { id: string }[])[0]!
    const finding = `/api/findings/${encodeURIComponent(id)}`
    await expectDescribed('GET /api/findings/:id', finding)
    await expectDescribed('POST /api/findings/:id/decisions', `${finding}/decisions`, { action: 'accept' })
    await house.call(admin, 'PUT', `/api/limits/${odd}`, { purpose: 'static', limitOhm: 100 })
    await house.call(admin, 'POST', '/api/works', {
      electrodeId: ODD,
      doneOn: '2025-06-01',
      what: 'disturbed',
    })
    await house.compare()
    const file = await expectDescribed('GET /api/electrodes/:id', `/api/electrodes/${odd}`)
    expect(file).toMatchObject({
      electrodeId: ODD,
      limits: [{ limitOhm: 100 }],
      works: [{ what: 'disturbed' }],
    })
    expect(file.surveys).toHaveLength(3)
    expect(file.decisions).toHaveLength(1)
    await expectDescribed('GET /api/findings', '/api/findings?state=closed')
  })

  it('for the lists', async () => {
    await expectDescribed('GET /api/electrodes', '/api/electrodes')
    await expectDescribed('GET /api/due', '/api/due?to=2030-01')
    await expectDescribed('GET /api/sites', '/api/sites')
  })

  it('for the register', async () => {
    await expectDescribed('PUT /api/electrodes/:id', '/api/electrodes/A-1', rodAt('North'))
    await expectDescribed('PUT /api/instruments/:id', '/api/instruments/I-1', { calibratedOn: '2026-01-01' })
    await expectDescribed('PUT /api/limits/:electrodeId', '/api/limits/A-1', { purpose: 'x', limitOhm: 1 })
    await expectDescribed('POST /api/works', '/api/works', {
      electrodeId: 'A-1',
      doneOn: '2026-01-01',
      what: 'extended',
    })
    const form = new FormData()
    form.set(
      'file',
      new File(['electrode_id,site_id,kind,colour\nF-1,North,rod,red\nF-2,North,tree,red\n'], 'r.csv'),
    )
    const loaded = await expectDescribed('POST /api/register', '/api/register', form)
    expect(loaded).toMatchObject({ created: 1, rowsRefused: 1, ignoredColumns: ['colour'] })
  })

  it('for column maps', async () => {
    const map = { columns: { 'Our ohms': { field: 'resistance_ohm', unit: 'mohm' } } }
    await expectDescribed('PUT /api/column-maps/:name', '/api/column-maps/our%20crew', map)
    const { items } = await expectDescribed('GET /api/column-maps', '/api/column-maps')
    expect(items).toEqual([
      {
        name: 'our crew',
        map: { columns: [{ heading: 'Our ohms', field: 'resistance_ohm', unit: 'mohm' }] },
      },
    ])
    const faulty = await house.call(admin, 'PUT', '/api/column-maps/x', { columns: { a: { field: '' } } })
    expect(faulty.status).toBe(422)
  })

  it('for uploads', async () => {
    const form = new FormData()
    form.set('file', new File(['a\n'], 'u.csv'))
    const { id } = await expectDescribed('POST /api/uploads', '/api/uploads', form)
    await expectDescribed('GET /api/uploads/:id', `/api/uploads/${id}`)
    await expectDescribed('POST /api/uploads/ticket', '/api/uploads/ticket', {})
  })

  it('and is kept by no cache', async () => {
    const answer = await house.call(admin, 'GET', '/api/sites')
    expect(answer.headers.get('cache-control')).toBe('no-store')
  })
})
