import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { type House, openHouse } from './house.ts'
import { allIds, formValues, namedIds, summaryLines } from './markup.ts'

const ANA = { email: 'Ana@example.org' }
let house: House
beforeAll(async () => {
  house = await openHouse()
}, 30_000)
afterAll(() => house.close())

const choose = (form: Record<string, string>, more = ANA) =>
  house.post('engineer', '/mail-settings', { rest: 'daily', digestHourUtc: '5', ...form }, more)

describe('the page of mail settings', () => {
  it('is complete without a script, shows what is usual, and keeps what was chosen', async () => {
    const before = await (await house.get('engineer', '/mail-settings', ANA)).text()
    expect(before).toContain('<strong>ana@example.org</strong>')
    expect(before).not.toContain('<script')
    expect(formValues(before)).toMatchObject({ rest: 'as-it-comes', digestHourUtc: '6', atOnceSites: '' })
    const ids = allIds(before)
    expect(new Set(ids).size).toBe(ids.length)
    for (const id of namedIds(before)) expect(ids).toContain(id)

    const saved = await choose({ atOnceSites: ' HILL\nDALE, HILL\n' })
    expect(saved.status).toBe(303)
    const after = await (await house.get('engineer', saved.headers.get('Location')!, ANA)).text()
    expect(after).toContain('Saved.')
    expect(await house.deps.ledger.mailChoice('ana@example.org')).toEqual({
      rest: 'daily',
      digestHourUtc: 5,
      atOnceSites: ['DALE', 'HILL'],
    })
    expect(formValues(after)).toMatchObject({ rest: 'daily', digestHourUtc: '5' })
  })

  it('says what to mend, and keeps nothing of it', async () => {
    const before = await house.deps.ledger.mailChoice('ana@example.org')
    const wrongs: Record<string, string>[] = [
      { rest: 'never' },
      { digestHourUtc: '24' },
      { atOnceSites: 'x'.repeat(101) },
    ]
    for (const wrong of wrongs) {
      const answer = await choose(wrong)
      expect(answer.status).toBe(422)
      expect(summaryLines(await answer.text()).map((l) => l.fieldId)).toEqual(Object.keys(wrong))
    }
    expect(await house.deps.ledger.mailChoice('ana@example.org')).toEqual(before)
  })

  it('is one’s own; an administrator chooses for any address, and who has none is told that no mail comes', async () => {
    const path = '/mail-settings?address=bo%40example.org'
    expect((await house.get('engineer', path, ANA)).status).toBe(403)
    expect((await choose({ address: 'bo@example.org' })).status).toBe(403)
    const asAdmin = await (await house.get('admin', path)).text()
    expect(asAdmin).toContain('<strong>bo@example.org</strong>')
    const crew = await (await house.get('field', '/mail-settings')).text()
    expect(crew).toContain('carries no mail address')
  })
})
