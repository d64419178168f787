import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { parseSurvey } from '../../shared-lib/survey/schema.ts'
import { surveyCsvHeader, surveyCsvRows } from '../../shared-lib/survey/write-csv.ts'
import { type House, openHouse, rodAt, shortSurvey, someone } from './house.ts'

const admin = someone('admin')
let house: House
const surveys = [
  shortSurvey('X-1', 'N-1', '2025-04-01T10:00:00+02:00', 11),
  {
    ...shortSurvey('X-2', 'N-1', '2026-04-01T10:00:00+02:00', 12),
    notes: '=cmd(1) "quoted", and\na second line',
  },
  shortSurvey('X-3', 'S-1', '2026-04-01T10:00:00Z', 13),
]

beforeAll(async () => {
  house = await openHouse()
  await house.call(admin, 'PUT', '/api/electrodes/N-1', rodAt('North'))
  await house.call(
    admin,
    'PUT',
    '/api/electrodes/S-1',
    rodAt('South', { responsibleEmail: 'bo@example.org' }),
  )
  // The newer first: the export is by test date, not by arrival.
  for (const survey of surveys.toReversed()) await house.call(admin, 'POST', '/api/surveys', survey)
  const soil = { surveyRef: 'W-1', siteId: 'North', method: 'four-point', testedAt: '2026-04-02T10:00:00Z' }
  const readings = [
    { probeSpacingM: 2, resistanceOhm: 8 },
    { probeSpacingM: 4, resistanceOhm: 4 },
  ]
  await house.call(admin, 'POST', '/api/surveys', { ...soil, readings })
}, 30_000)
afterAll(() => house.close())

const text = (sent: object[]) =>
  surveyCsvHeader() +
  sent
    .map((json) => {
      const read = parseSurvey(json)
      if (!read.ok) throw new Error('the example is wrong')
      return surveyCsvRows(read.survey)
    })
    .join('')
const ask = (who: Parameters<House['call']>[0], query = '') =>
  house.call(who, 'GET', `/api/export/surveys.csv${query}`)

describe('GET /api/export/surveys.csv', () => {
  it('gives every survey in the long form, electrode by electrode, each by test date, then soil surveys', async () => {
    const answer = await ask(admin)
    expect(answer.status).toBe(200)
    expect(answer.headers.get('content-type')).toContain('text/csv')
    const csv = await answer.text()
    for (const survey of surveys) expect(csv).toContain(text([survey]).slice(surveyCsvHeader().length))
    expect(csv.indexOf('X-1')).toBeLessThan(csv.indexOf('X-2'))
    expect(csv).toContain('W-1')
  })

  it('keeps to what a person may see', async () => {
    const refs = async (who: Parameters<typeof ask>[0], query = '') =>
      [...new Set((await (await ask(who, query)).text()).match(/\b[XW]-\d\b/g))].sort()
    expect(await refs(someone('field', { sites: ['North'] }))).toEqual(['W-1', 'X-1', 'X-2'])
    expect(await refs(someone('engineer', { email: 'bo@example.org' }))).toEqual(['X-3'])
    expect(await refs(admin, '?site=South')).toEqual(['X-3'])
    expect(await refs(admin, '?electrode=N-1')).toEqual(['X-1', 'X-2'])
  })

  it('can be handed in again: each survey reads back to the same content', async () => {
    const csv = await (await ask(admin, '?electrode=N-1')).text()
    expect(csv).toBe(text(surveys.slice(0, 2)))
  })
})
