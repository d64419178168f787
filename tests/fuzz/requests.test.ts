import fc from 'fast-check'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { apiRoutes } from '../../functions/web/api/api-routes.ts'
import { SESSION_COOKIE } from '../../functions/web/session.ts'
import { parseSurvey } from '../../shared-lib/survey/schema.ts'
import { BASE_URL, type House, openHouse, rodAt, shortSurvey, someone } from '../web-api/house.ts'
import { fuzz } from './fuzz.ts'
import { nastyText, spoilt } from './nasty.ts'

let house: House
let bearer: string
let cookie: string
const admin = someone('admin')
beforeAll(async () => {
  house = await openHouse()
  await house.call(admin, 'PUT', '/api/electrodes/E-1', rodAt('North'))
  bearer = `Bearer ${await house.bearer(admin)}`
  cookie = `${SESSION_COOKIE}=${(await house.identity.issueSession(admin)).token}`
}, 30_000)
afterAll(() => house.close())

/** An answer that was meant, in time: no failure of ours, whatever was sent. Returns its status. */
async function meant(answer: Response | Promise<Response>, what: string): Promise<number> {
  const { status } = await answer
  const text = await (await answer).text()
  if (status >= 500) throw new Error(`${what} was answered ${status}: ${text.slice(0, 300)}`)
  return status
}

const anyJson = fc.oneof(
  fc.jsonValue(),
  nastyText,
  fc.dictionary(nastyText, fc.oneof(nastyText, fc.double()), { maxKeys: 4 }),
)
/** A survey with some values replaced and some keys added. JSON text, so that `__proto__` can be a key. */
const surveyText = fc
  .tuple(
    fc.constantFrom(...Array.from({ length: 20 }, (_, i) => `F-${i}`)),
    fc.array(
      fc.tuple(
        fc.oneof(
          fc.constantFrom(
            ...Object.keys(shortSurvey('', '', '', 1)),
            'corrects',
            'siteId',
            'instrumentId',
            'notes',
            '__proto__',
          ),
          nastyText,
        ),
        anyJson,
      ),
      { maxLength: 3 },
    ),
  )
  .map(([ref, changes]) => {
    const sound = shortSurvey(ref, 'E-1', '2026-01-01T10:00:00Z', 11)
    const entries = [...Object.entries(sound).filter(([k]) => !changes.some(([c]) => c === k)), ...changes]
    return `{${entries.map(([k, v]) => `${JSON.stringify(k)}:${JSON.stringify(v)}`).join(',')}}`
  })

describe('the API', () => {
  it('understands or refuses any survey, in words', async () => {
    await fuzz('json-survey', surveyText, (text) => {
      const read = parseSurvey(JSON.parse(text), { timeZone: undefined })
      if (!read.ok) for (const { problem } of read.problems) expect(problem).not.toBe('')
    })
  }, 3_600_000)

  it('answers any survey it is sent without failing', async () => {
    await fuzz(
      'api-survey',
      fc.oneof(surveyText, nastyText),
      async (body) => {
        const headers = { Authorization: bearer, 'Content-Type': 'application/json' }
        await meant(house.app.request('/api/surveys', { method: 'POST', headers, body }), body)
      },
      0.15,
    )
  }, 3_600_000)

  it('answers any call of any route without failing', async () => {
    const routes = apiRoutes().map((r) => ({ method: r.method.toUpperCase(), path: r.path }))
    const call = fc.record({
      route: fc.constantFrom(...routes),
      parts: fc.array(spoilt(fc.constantFrom('E-1', 'I-1', 'crew')), { minLength: 2, maxLength: 2 }),
      query: fc.dictionary(
        fc.constantFrom(
          'site',
          'electrode',
          'state',
          'cursor',
          'limit',
          'to',
          'ticket',
          'table',
          'columnMap',
          'x',
        ),
        nastyText,
        { maxKeys: 3 },
      ),
      type: fc.constantFrom(
        'application/json',
        'text/csv',
        'multipart/form-data; boundary=x',
        'text/xml',
        '',
      ),
      body: fc.oneof(
        anyJson.map((json) => JSON.stringify(json) ?? ''),
        nastyText,
      ),
    })
    await fuzz(
      'api-call',
      call,
      async ({ route, parts, query, type, body }) => {
        let i = 0
        const path = route.path.replaceAll(/:\w+/g, () => encodeURIComponent(parts[i++ % 2]!))
        const address = `${path}?${new URLSearchParams(query)}`
        const init = route.method === 'GET' ? {} : { body }
        const headers = { Authorization: bearer, 'Content-Type': type }
        await meant(
          house.app.request(address, { method: route.method, headers, ...init }),
          `${route.method} ${address}`,
        )
      },
      0.15,
    )
  }, 3_600_000)
})

describe('the form', () => {
  it('answers whatever is typed without failing', async () => {
    const typed = fc.record({
      test: spoilt(fc.constantFrom('short', 'full', 'own', 'none', 'four-point')),
      shown: spoilt(fc.constantFrom('short', 'full', 'own', 'none')),
      unit: fc.constantFrom('m', 'ft', 'x'),
      action: spoilt(fc.constantFrom('check', 'hand-in', 'distances', 'show')),
      surveyRef: spoilt(fc.constantFrom('F-A', 'F-B')),
      electrodeId: spoilt(fc.constantFrom('E-1', 'E-2')),
      testedAt: spoilt(fc.constantFrom('2026-05-04T10:20', '2026-05-04')),
      currentProbeM: spoilt(fc.constantFrom('30', '30,5')),
      'r0-ohm': spoilt(fc.constantFrom('10.9', '11,2')),
      'r0-condition': spoilt(fc.constantFrom('ok', 'over-range')),
      'r1-ohm': spoilt(fc.constantFrom('11', '')),
      'r2-ohm': spoilt(fc.constantFrom('11.1', '')),
      tester: nastyText,
      notes: nastyText,
    })
    await fuzz(
      'form',
      typed,
      async (fields) => {
        const headers = { Cookie: cookie, Origin: BASE_URL, Accept: 'text/html' }
        const body = new URLSearchParams(fields)
        const answer = await house.app.request('/surveys/new', { method: 'POST', headers, body })
        const page = await answer.text()
        if (answer.status >= 500) throw new Error(`answered ${answer.status}: ${page.slice(0, 300)}`)
        // What was typed comes back as text, never as markup.
        expect(page).not.toContain('<script>alert(1)')
        expect(page).not.toMatch(/"\s+onmouseover="x/)
      },
      0.05,
    )
  }, 3_600_000)
})
