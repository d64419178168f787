import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { findingItem } from '../../functions/web/api/answer-schemas.ts'
import type { FindingItem } from '../../shared-lib/ledger/kept/finding.ts'
import type { Page } from '../../shared-lib/ledger/kept/page.ts'
import type { Person } from '../../shared-lib/ports/identity.ts'
import { type House, NOW_MS, openHouse, rodAt, shortSurvey, someone } from './house.ts'

const admin = someone('admin')
const quality = someone('quality')
const ana = someone('engineer', { email: 'Ana@example.org' })
const deputy = someone('engineer', { email: 'dee@example.org' })
const bo = someone('engineer', { email: 'bo@example.org' })
let house: House

/** Two electrodes at North, one at South, each over its limit of 25 ohm. */
beforeAll(async () => {
  house = await openHouse()
  await house.call(admin, 'PUT', '/api/electrodes/N-1', rodAt('North', { deputyEmail: 'dee@example.org' }))
  await house.call(
    admin,
    'PUT',
    '/api/electrodes/N-2',
    rodAt('North', { responsibleEmail: 'bo@example.org' }),
  )
  await house.call(admin, 'PUT', '/api/electrodes/S-1', rodAt('South'))
  for (const id of ['N-1', 'N-2', 'S-1'])
    await house.call(admin, 'POST', '/api/surveys', shortSurvey(`${id}-a`, id, '2026-04-01T10:00:00Z', 60))
  await house.compare()
}, 30_000)
afterAll(() => house.close())

async function list(who: Person, query = ''): Promise<Page<FindingItem>> {
  const answer = await house.call(who, 'GET', `/api/findings${query}`)
  expect(answer.status).toBe(200)
  return (await answer.json()) as Page<FindingItem>
}
const electrodesOf = (page: Page<FindingItem>) => [...new Set(page.items.map((f) => f.electrodeId))].sort()
const limitFinding = async (electrodeId: string) =>
  (await list(admin, `?electrode=${electrodeId}&state=all`)).items.find((f) => f.code === 'limit-exceeded')!
const decide = (who: Person, id: string, body: unknown) =>
  house.call(who, 'POST', `/api/findings/${encodeURIComponent(id)}/decisions`, body)

describe('GET /api/findings', () => {
  it('lists what a person may see: by site for a crew, by name for an engineer, everything for quality', async () => {
    expect(electrodesOf(await list(quality))).toEqual(['N-1', 'N-2', 'S-1'])
    expect(electrodesOf(await list(someone('field', { sites: ['North'] })))).toEqual(['N-1', 'N-2'])
    expect(electrodesOf(await list(someone('field', { sites: [] })))).toEqual([])
    expect(electrodesOf(await list(ana))).toEqual(['N-1', 'S-1'])
    expect(electrodesOf(await list(deputy))).toEqual(['N-1'])
    expect(electrodesOf(await list(someone('engineer')))).toEqual(['N-1', 'N-2', 'S-1'])
  })

  it('has every field of the contract', async () => {
    for (const item of (await list(quality)).items) findingItem.parse(item)
    expect(await limitFinding('N-1')).toMatchObject({
      code: 'limit-exceeded',
      state: 'open',
      siteId: 'North',
      surveyRef: 'N-1-a',
    })
  })

  it('gives every finding once when read page by page, across sites', async () => {
    const crew = someone('field', { sites: ['South', 'North'] })
    const whole = (await list(crew)).items.map((f) => f.id)
    const seen: string[] = []
    for (let cursor = ''; ; ) {
      const page = await list(crew, `?limit=1${cursor}`)
      expect(page.items.length).toBeLessThanOrEqual(1)
      seen.push(...page.items.map((f) => f.id))
      if (page.next === null) break
      cursor = `&cursor=${encodeURIComponent(page.next)}`
    }
    expect(seen.sort()).toEqual(whole.sort())
    expect(whole.length).toBeGreaterThan(2)
  })

  it('refuses a cursor that is damaged, or made for somebody who sees another site', async () => {
    const page = await list(someone('field', { sites: ['South'] }), '?limit=1&state=all')
    const south = page.next ?? Buffer.from('["South",null]').toString('base64url')
    const ask = async (cursor: string) =>
      (await house.call(someone('field', { sites: ['North'] }), 'GET', `/api/findings?cursor=${cursor}`))
        .status
    expect(await ask(south)).toBe(400)
    expect(await ask('rubbish')).toBe(400)
    expect(await ask(Buffer.from('[null,null]').toString('base64url'))).toBe(400)
  })

  it('refuses a filter it does not know instead of ignoring it', async () => {
    expect((await house.call(quality, 'GET', '/api/findings?electrodes=N-1')).status).toBe(422)
    expect((await house.call(quality, 'GET', '/api/findings?state=opened')).status).toBe(422)
  })
})

describe('POST /api/findings/{id}/decisions', () => {
  it('closes a finding with who, when and why, and tells compare about the electrode', async () => {
    const { id } = await limitFinding('N-1')
    house.toCompare.length = 0
    const answer = await decide(ana, id, { action: 'confirm', reason: 'seen on site' })
    expect(answer.status).toBe(201)
    const item = findingItem.parse(await answer.json())
    expect(item).toMatchObject({
      id,
      state: 'closed',
      closedBy: { decision: { action: 'confirm', reason: 'seen on site' } },
    })
    expect(house.toCompare).toHaveLength(1)
    expect(await house.deps.ledger.getMark('N-1')).not.toBeNull()
    await house.compare()
    expect(electrodesOf(await list(deputy))).toEqual([])
    const again = await decide(ana, id, { action: 'confirm', reason: 'seen on site' })
    expect(again.status).toBe(200)
    const { decisions } = (await house.deps.ledger.readElectrodeFile('N-1'))!
    expect(decisions).toHaveLength(1)
    expect(decisions[0]?.decidedBy).toContain('local:engineer')
  })

  it('is undone by "reopen", which is kept beside the first decision', async () => {
    const { id } = await limitFinding('N-1')
    expect(await (await decide(quality, id, { action: 'reopen' })).json()).toMatchObject({ state: 'open' })
    expect((await house.deps.ledger.readElectrodeFile('N-1'))?.decisions).toHaveLength(2)
    await house.compare()
    expect((await limitFinding('N-1')).state).toBe('open')
  })

  it('rules over the one it answers to, also when the clock was set back in between', async () => {
    const { id } = await limitFinding('S-1')
    await decide(quality, id, { action: 'confirm' })
    house.setNow(NOW_MS - 60_000)
    expect(await (await decide(quality, id, { action: 'reopen' })).json()).toMatchObject({ state: 'open' })
    house.setNow(NOW_MS)
  })

  it.each(['set-aside', 'repaired'])('asks for a reason for %s', async (action) => {
    const { id } = await limitFinding('N-2')
    const answer = await decide(quality, id, { action, reason: '  ' })
    expect(answer.status).toBe(422)
    expect(await answer.json()).toMatchObject({ errors: [{ pointer: '/reason', code: 'reason-needed' }] })
    expect((await limitFinding('N-2')).state).toBe('open')
  })

  it('is not for a crew, nor for an engineer of other electrodes', async () => {
    const { id } = await limitFinding('N-1')
    expect((await decide(someone('field', { sites: ['North'] }), id, { action: 'accept' })).status).toBe(403)
    expect((await decide(bo, id, { action: 'accept' })).status).toBe(403)
    expect((await decide(quality, 'bm93aGVyZQ.eA.limit-exceeded', { action: 'accept' })).status).toBe(404)
    expect((await decide(quality, id, { action: 'delete' })).status).toBe(422)
  })
})

describe('an electrode', () => {
  it('is shown with its surveys by test date, all their findings, its decisions and the plain statistics', async () => {
    await house.call(admin, 'POST', '/api/surveys', shortSurvey('N-2-b', 'N-2', '2025-04-01T10:00:00Z', 20))
    await house.compare()
    const answer = await house.call(bo, 'GET', '/api/electrodes/N-2')
    expect(answer.status).toBe(200)
    const body = (await answer.json()) as { surveys: { surveyRef: string; findings: { code: string }[] }[] }
    expect(body.surveys.map((s) => s.surveyRef)).toEqual(['N-2-b', 'N-2-a'])
    expect(body.surveys[1]?.findings.map((f) => f.code)).toContain('limit-exceeded')
    expect(body).toMatchObject({ electrodeId: 'N-2', series: [{ measuredAs: 'electrode-alone', n: 2 }] })
    expect((await house.call(ana, 'GET', '/api/electrodes/N-2')).status).toBe(403)
  })

  it('is due a year after its last test', async () => {
    const asked = await house.call(quality, 'GET', '/api/due?to=2027-04')
    const { items } = (await asked.json()) as {
      items: { electrodeId: string; dueOn: string; overdue: boolean }[]
    }
    expect(items.map((i) => [i.electrodeId, i.dueOn.slice(0, 7), i.overdue]).sort()).toEqual([
      ['N-1', '2027-04', false],
      ['N-2', '2027-04', false],
      ['S-1', '2027-04', false],
    ])
    expect(await (await house.call(quality, 'GET', '/api/due')).json()).toEqual({ items: [], next: null })
    expect((await house.call(quality, 'GET', '/api/due?to=May')).status).toBe(422)
  })
})
