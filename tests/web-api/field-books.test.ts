import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { acceptedSurvey, heldSurvey } from '../../functions/web/api/answer-schemas.ts'
import { surveyId } from '../../shared-lib/survey/content-id.ts'
import { type House, openHouse, rodAt, shortSurvey, someone } from './house.ts'

const admin = someone('admin')
const crew = someone('field', { sites: ['North'] })
let house: House

beforeAll(async () => {
  house = await openHouse()
  await house.call(admin, 'PUT', '/api/electrodes/E-7', rodAt('North', { tag: '100' }))
  await house.call(admin, 'PUT', '/api/electrodes/S-1', rodAt('South'))
  await house.call(admin, 'PUT', '/api/limits/E-7', { purpose: 'lightning', limitOhm: 10 })
  for (const calibratedOn of ['2024-01-01', '2026-01-01', '2025-01-01'])
    await house.call(admin, 'PUT', '/api/instruments/I-1', { calibratedOn, accuracyPercent: 2 })
}, 30_000)
afterAll(() => house.close())

describe('GET /api/field-books', () => {
  const books = async (query: string) => {
    const answer = await house.call(crew, 'GET', `/api/field-books?${query}`)
    return { status: answer.status, body: (await answer.json()) as Record<string, unknown[]> }
  }

  it('gives a phone the electrodes of one site, their limits and the newest calibration of each instrument', async () => {
    const { status, body } = await books('site=North')
    expect(status).toBe(200)
    expect(body).toMatchObject({
      siteId: 'North',
      electrodes: [{ electrodeId: 'E-7', tag: '100', lengthM: 3 }],
      limits: [{ electrodeId: 'E-7', purpose: 'lightning', limitOhm: 10 }],
      calibrations: [{ instrumentId: 'I-1', calibratedOn: '2026-01-01', accuracyPercent: 2 }],
      complete: true,
    })
    expect(body.electrodes).toHaveLength(1)
  })

  it('carries the soil of the site, by which the service judges too', async () => {
    const soil = { upperOhmM: 80, lowerOhmM: 300, depthM: 1.5, relativeUncertainty: 0.15 }
    const before = await house.deps.ledger.getSiteHeader('North')
    await house.deps.ledger.putSiteHeader('North', { calibrations: {}, ...before, soil })
    expect((await books('site=North')).body.soil).toEqual(soil)
  })

  it('finds the site of an electrode, and tells nothing of another site', async () => {
    expect((await books('electrode=E-7')).body.siteId).toBe('North')
    expect((await books('electrode=S-1')).status).toBe(403)
    expect((await books('electrode=NO-SUCH')).status).toBe(404)
    expect((await books('')).status).toBe(404)
  })
})

describe('a receipt', () => {
  it('names the survey by the id that its sender can work out alone, also when it is held', async () => {
    const sent = shortSurvey('A-1', 'E-7', '2026-05-04T10:20:00Z', 11)
    const stored = await house.call(crew, 'POST', '/api/surveys', sent)
    const { receipt } = acceptedSurvey.parse(await stored.json())
    expect(receipt).toMatchObject({ id: surveyId({ kind: 'electrode', id: 'E-7' }, 'A-1'), surveyRef: 'A-1' })
    const unknown = shortSurvey('A-2', 'E-99', '2026-05-04T10:20:00Z', 11)
    const held = await house.call(crew, 'POST', '/api/surveys', unknown)
    expect(held.status).toBe(202)
    expect(heldSurvey.parse(await held.json()).receipt.id).toBe(
      surveyId({ kind: 'electrode', id: 'E-99' }, 'A-2'),
    )
  })

  it('is not given to another person’s session than the one that made the survey', async () => {
    const survey = shortSurvey('A-3', 'E-7', '2026-05-04T10:20:00Z', 11)
    const answer = await house.call(crew, 'POST', '/api/surveys', survey, {
      'Stakeline-Person': 'local%3Aquality',
    })
    expect(answer.status).toBe(403)
    expect(((await answer.json()) as { type: string }).type).toBe('/problems/other-person')
    expect(await house.deps.ledger.getSurvey({ kind: 'electrode', id: 'E-7' }, 'A-3')).toBeNull()
    const own = await house.call(crew, 'POST', '/api/surveys', survey, {
      'Stakeline-Person': encodeURIComponent(crew.id),
    })
    expect(own.status).toBe(201)
  })
})
