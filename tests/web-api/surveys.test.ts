import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { storedSurvey } from '../../functions/web/api/answer-schemas.ts'
import { type House, openHouse, rodAt, shortSurvey, someone } from './house.ts'

const admin = someone('admin')
const crew = someone('field', { sites: ['North'] })
let house: House

beforeAll(async () => {
  house = await openHouse()
  await house.call(admin, 'PUT', '/api/electrodes/E-7', rodAt('North', { timeZone: 'Europe/Vienna' }))
  await house.call(admin, 'PUT', '/api/electrodes/S-1', rodAt('South'))
}, 30_000)
afterAll(() => house.close())

describe('POST /api/surveys', () => {
  it('answers a new survey with 201, its id and its evaluation', async () => {
    const survey = shortSurvey('A-1', 'E-7', '2026-05-04T10:20:00+02:00', 11)
    const answer = await house.call(crew, 'POST', '/api/surveys', survey)
    expect(answer.status).toBe(201)
    const body = storedSurvey.parse(await answer.json())
    expect(body).toMatchObject({
      surveyRef: 'A-1',
      electrodeId: 'E-7',
      validity: 'valid',
      conformity: 'conforming',
    })
    expect(body.resistanceOhm).toBeGreaterThan(10)
    expect(body.resistanceOhm).toBeLessThan(12)
  })

  it('answers the same content again with 200 and the same id, however it was written', async () => {
    const survey = shortSurvey('A-2', 'E-7', '2026-05-04T10:20:00+02:00', 11)
    const first = await house.call(crew, 'POST', '/api/surveys', survey)
    const again = await house.call(crew, 'POST', '/api/surveys', {
      ...survey,
      testedAt: '2026-05-04T08:20:00Z',
    })
    expect([first.status, again.status]).toEqual([201, 200])
    expect(((await again.json()) as { id: string }).id).toBe(((await first.json()) as { id: string }).id)
  })

  it('answers other content under the same reference with 409 that names both, and keeps the first', async () => {
    await house.call(crew, 'POST', '/api/surveys', shortSurvey('A-3', 'E-7', '2026-05-04T10:20:00Z', 11))
    const other = await house.call(
      crew,
      'POST',
      '/api/surveys',
      shortSurvey('A-3', 'E-7', '2026-05-05T10:20:00Z', 12),
    )
    expect(other.status).toBe(409)
    expect(other.headers.get('content-type')).toBe('application/problem+json')
    expect(await other.json()).toMatchObject({
      type: '/problems/other-content',
      stored: { surveyRef: 'A-3', testedAt: expect.stringContaining('2026-05-04') },
      handedIn: { surveyRef: 'A-3', testedAt: expect.stringContaining('2026-05-05') },
    })
    const kept = await house.deps.ledger.getSurvey({ kind: 'electrode', id: 'E-7' }, 'A-3')
    expect(kept?.survey.testedAt).toContain('2026-05-04')
  })

  it('says 409, and drops nothing silently, when another survey is held under the same reference', async () => {
    const send = (ohm: number) =>
      house.call(crew, 'POST', '/api/surveys', shortSurvey('A-14', 'Nobody-2', '2026-05-04T10:20:00Z', ohm))
    expect((await send(11)).status).toBe(202)
    expect((await send(11)).status).toBe(202)
    const other = await send(14)
    expect(other.status).toBe(409)
    expect(await other.json()).toMatchObject({
      stored: { surveyRef: 'A-14' },
      handedIn: { surveyRef: 'A-14', electrodeId: 'Nobody-2' },
    })
    expect(await house.deps.ledger.heldFor('Nobody-2')).toHaveLength(1)
  })

  it('holds a survey of an electrode nobody knows (202) and stores it when the electrode is registered', async () => {
    const held = await house.call(
      crew,
      'POST',
      '/api/surveys',
      shortSurvey('A-4', 'New-1', '2026-05-04T10:20:00Z', 11),
    )
    expect(held.status).toBe(202)
    expect(await held.json()).toMatchObject({ kind: 'held', surveyRef: 'A-4', electrodeId: 'New-1' })
    expect((await house.call(admin, 'PUT', '/api/electrodes/New-1', rodAt('North'))).status).toBe(201)
    const file = (await (await house.call(crew, 'GET', '/api/electrodes/New-1')).json()) as {
      surveys: unknown[]
    }
    expect(file.surveys).toMatchObject([{ surveyRef: 'A-4', validity: 'valid' }])
  })

  it('refuses with 422 and a JSON pointer for everything that is wrong', async () => {
    const survey = {
      ...shortSurvey('A-5', 'E-7', '2026-05-04T10:20:00Z', 11),
      colour: 'green',
      soilState: 'muddy',
    }
    const readings = [...survey.readings, { potentialProbeM: 10, resistanceOhm: '11' }]
    const answer = await house.call(crew, 'POST', '/api/surveys', { ...survey, readings })
    expect(answer.status).toBe(422)
    const { errors } = (await answer.json()) as { errors: { pointer: string; detail: string }[] }
    expect(errors.map((e) => e.pointer).sort()).toEqual([
      '/colour',
      '/readings/3/resistanceOhm',
      '/soilState',
    ])
    for (const { detail } of errors) expect(detail).toMatch(/\w.*\.$/)
  })

  it('answers 403 for an electrode of another site and stores nothing', async () => {
    const survey = shortSurvey('A-6', 'S-1', '2026-05-04T10:20:00Z', 11)
    const answer = await house.call(crew, 'POST', '/api/surveys', survey)
    expect(answer.status).toBe(403)
    expect(await answer.json()).toMatchObject({ type: '/problems/site-not-allowed' })
    expect(await house.deps.ledger.getSurvey({ kind: 'electrode', id: 'S-1' }, 'A-6')).toBeNull()
  })

  it("reads a time without offset in the electrode's zone", async () => {
    const answer = await house.call(
      crew,
      'POST',
      '/api/surveys',
      shortSurvey('A-7', 'E-7', '2026-05-04T10:20', 11),
    )
    const { testedAt } = (await answer.json()) as { testedAt: string }
    // Vienna is two hours ahead of UTC in May.
    expect(Date.parse(testedAt)).toBe(Date.parse('2026-05-04T08:20:00Z'))
  })

  it('sends one message to compare, about the electrode', async () => {
    house.toCompare.length = 0
    await house.call(crew, 'POST', '/api/surveys', shortSurvey('A-8', 'E-7', '2026-05-04T10:20:00Z', 11))
    expect(house.toCompare.map((m) => m.body.electrodeId)).toEqual(['E-7'])
  })
})

describe('a JSON body', () => {
  it.each([
    ['a broken document', '{"surveyRef":', 'application/json', 400],
    ['bytes that are not UTF-8', 'latin1', 'application/json', 400],
    ['a list nested without end', '['.repeat(100_000) + ']'.repeat(100_000), 'application/json', 400],
    ['a key that reaches for the prototype', '{"__proto__":{"role":"admin"}}', 'application/json', 400],
    ['another content type', '{}', 'text/plain', 415],
    ['more than a megabyte', `{"notes":"${'x'.repeat(1_000_001)}"}`, 'application/json', 413],
    ['a list', '[]', 'application/json', 422],
    ['nothing at all', '', 'application/json', 400],
  ])('that is %s is refused as such', async (_what, text, type, status) => {
    const body = text === 'latin1' ? new Uint8Array([0x22, 0xe9, 0x22]) : text
    const answer = await house.app.request('/api/surveys', {
      method: 'POST',
      body,
      headers: { 'Content-Type': type, Authorization: `Bearer ${await house.bearer(crew)}` },
    })
    expect(answer.status).toBe(status)
    expect(answer.headers.get('content-type')).toBe('application/problem+json')
  })
})
