import { setImmediate as turn } from 'node:timers/promises'
import { afterEach, describe, expect, it, vi } from 'vitest'
import { createApp } from '../../functions/web/create-app.ts'
import { ONE_MACHINE_LIMITS } from '../../functions/web/limits/limits.ts'
import { createPressure, type Pressure } from '../../functions/web/limits/pressure.ts'
import { type House, openHouse, rodAt, shortSurvey, someone } from '../web-api/house.ts'

let house: House
afterEach(() => house.close())
const crew = someone('field')
const survey = (n: number) => shortSurvey(`L-${n}`, 'E-1', '2026-04-01T10:00:00Z', 11)

async function openWith(limits: Partial<typeof ONE_MACHINE_LIMITS>): Promise<void> {
  house = await openHouse({ limits: { ...ONE_MACHINE_LIMITS, ...limits } })
  await house.call(someone('admin'), 'PUT', '/api/electrodes/E-1', rodAt('North'))
}

describe('more at once than the service can hold', () => {
  it('is told to come back with 503 and Retry-After; what was taken is kept, and the next request is served', async () => {
    await openWith({ requestsAtOnce: 5 })
    const answers = await Promise.all(
      Array.from({ length: 40 }, (_, n) => house.call(crew, 'POST', '/api/surveys', survey(n))),
    )
    const taken = answers.filter((a) => a.status === 201)
    const turnedAway = answers.filter((a) => a.status === 503)
    expect(taken.length).toBeGreaterThanOrEqual(5)
    expect(turnedAway.length).toBeGreaterThan(0)
    expect(taken.length + turnedAway.length).toBe(40)
    for (const answer of turnedAway) {
      expect(Number(answer.headers.get('retry-after'))).toBeGreaterThan(0)
      expect(answer.headers.get('content-type')).toBe('application/problem+json')
    }
    const again = await house.call(crew, 'POST', '/api/surveys', survey(0))
    expect([200, 201]).toContain(again.status)
    const { surveys } = (await house.deps.ledger.readElectrodeFile('E-1'))!
    expect(surveys.length).toBeGreaterThanOrEqual(taken.length)
  })

  it('is told so on a page that can be read, which says that what was sent is not lost', async () => {
    await openWith({ requestsAtOnce: 0 })
    const headers = { Accept: 'text/html' }
    const sent = await house.app.request('/surveys', { method: 'POST', headers })
    const asked = await house.app.request('/findings', { headers })
    for (const answer of [sent, asked]) {
      expect(answer.status).toBe(503)
      expect(Number(answer.headers.get('retry-after'))).toBeGreaterThan(0)
      expect(answer.headers.get('content-type')).toContain('text/html')
      expect(answer.headers.get('content-security-policy')).toContain("default-src 'none'")
    }
    expect(await sent.text()).toContain('nothing you typed is lost')
    expect(await asked.text()).toContain('Load this page again in 5 seconds')
  })

  it('counts whole files by themselves, and gives the place back also when a file is broken off', async () => {
    // The broken file is written down as a failure; here it only hides what matters.
    vi.spyOn(console, 'error').mockImplementation(() => {})
    await openWith({ filesAtOnce: 1 })
    const csv = { 'Content-Type': 'text/csv', Authorization: `Bearer ${await house.bearer(crew)}` }
    let breakOff = () => {}
    const slow = new ReadableStream({
      start(stream) {
        stream.enqueue(new TextEncoder().encode('survey_ref'))
        breakOff = () => stream.error(new Error('the line went dead'))
      },
    })
    const first = house.app.request('/api/uploads', {
      method: 'POST',
      headers: csv,
      body: slow,
      duplex: 'half',
    } as RequestInit)
    for (let i = 0; i < 20; i++) await turn()
    const second = await house.call(crew, 'POST', '/api/uploads', 'a,b\n', { 'Content-Type': 'text/csv' })
    expect(second.status).toBe(503)
    // Single surveys go on beside it.
    expect((await house.call(crew, 'POST', '/api/surveys', survey(1))).status).toBe(201)
    breakOff()
    await first
    const third = await house.call(crew, 'POST', '/api/uploads', 'a,b\n', { 'Content-Type': 'text/csv' })
    expect(third.status).toBe(202)
  })
})

describe('requests that wait too long', () => {
  const gauge = { oldestMs: 0, loopDelayMs: 0, inside: 9 }
  const pressure: Pressure = {
    ...createPressure({ nowMs: () => 0 }, () => gauge.loopDelayMs),
    oldestMs: () => gauge.oldestMs,
    inside: () => gauge.inside,
  }
  const askedAt = async (oldestMs: number, loopDelayMs: number, inside = 9) => {
    Object.assign(gauge, { oldestMs, loopDelayMs, inside })
    const app = createApp({ ...house.deps, pressure })
    const headers = { Authorization: `Bearer ${await house.bearer(crew)}` }
    return app.request('/api/electrodes/E-1', { headers })
  }

  it.each([
    ['those inside have waited too long', 3001, 0],
    ['the event loop is late all the time', 0, 501],
  ])('turn others away with 503 and Retry-After when %s', async (_, oldestMs, loopDelayMs) => {
    await openWith({ longestWaitMs: 3000, longestLoopDelayMs: 500 })
    const answer = await askedAt(oldestMs, loopDelayMs)
    expect(answer.status).toBe(503)
    expect(Number(answer.headers.get('retry-after'))).toBeGreaterThan(0)
    expect((await askedAt(3000, 500)).status).toBe(200)
    // With few inside, turning one away spares nobody.
    expect((await askedAt(oldestMs, loopDelayMs, 8)).status).toBe(200)
  })

  it('answer /healthz nevertheless: busy is not broken', async () => {
    await openWith({ longestWaitMs: 3000 })
    Object.assign(gauge, { oldestMs: 60_000 })
    expect((await createApp({ ...house.deps, pressure }).request('/healthz')).status).toBe(200)
  })
})

describe('many writes of one person in a minute', () => {
  it('end with 429 and Retry-After for that person alone; reading goes on', async () => {
    await openWith({ writesPerMinute: 3 })
    const statuses: number[] = []
    for (let n = 0; n < 5; n++)
      statuses.push((await house.call(crew, 'POST', '/api/surveys', survey(n))).status)
    expect(statuses).toEqual([201, 201, 201, 429, 429])
    const refused = await house.call(crew, 'POST', '/api/surveys', survey(9))
    const wait = Number(refused.headers.get('retry-after'))
    expect(wait).toBeGreaterThan(0)
    expect(wait).toBeLessThanOrEqual(60)
    expect((await house.call(crew, 'GET', '/api/electrodes/E-1')).status).toBe(200)
    const other = someone('field', { id: 'local:field:other' })
    expect((await house.call(other, 'POST', '/api/surveys', survey(9))).status).toBe(201)
  })

  it('count whole files by their own, smaller number', async () => {
    await openWith({ filesPerMinute: 1 })
    const send = () => house.call(crew, 'POST', '/api/uploads', 'a,b\n', { 'Content-Type': 'text/csv' })
    expect((await send()).status).toBe(202)
    expect((await send()).status).toBe(429)
    expect((await house.call(crew, 'GET', '/api/export/surveys.csv')).status).toBe(429)
  })
})

describe('tokens and links that are not good', () => {
  it('are answered 429 instead of 401 after a few, while a good token is never turned away', async () => {
    await openWith({ failedSignInsPerMinute: 3 })
    const forged = { Authorization: 'Bearer forged' }
    const statuses: number[] = []
    for (let n = 0; n < 4; n++)
      statuses.push((await house.app.request('/api/sites', { headers: forged })).status)
    expect(statuses).toEqual([401, 401, 401, 429])
    expect((await house.app.request('/sign-in?token=forged')).status).toBe(429)
    expect((await house.call(crew, 'GET', '/api/sites')).status).toBe(200)
    // Somebody who shows nothing is asked to sign in, however often.
    expect((await house.app.request('/api/sites')).status).toBe(401)
  })
})
