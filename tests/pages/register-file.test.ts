import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { Person, Role } from '../../shared-lib/ports/identity.ts'
import { fillDemo, shortSurvey } from './demo.ts'
import { type House, openHouse } from './house.ts'
import { summaryLines } from './markup.ts'

let house: House
beforeAll(async () => {
  house = await openHouse()
  await fillDemo(house)
})
afterAll(() => house.close())

async function load(table: string, csv: string, role: Role = 'admin', more: Partial<Person> = {}) {
  const form = new FormData()
  form.set('file', new File([csv], 'register.csv', { type: 'text/csv' }))
  const answer = await house.post(role, `/register/file?table=${table}`, form, more)
  return { status: answer.status, page: await answer.text() }
}

describe('a table of the register as a file', () => {
  it('is led to from the lists of electrodes and instruments and from the uploads, for administrators', async () => {
    for (const path of ['/electrodes', '/instruments', '/uploads']) {
      expect(await (await house.get('admin', path)).text()).toContain('href="/register/file')
      expect(await (await house.get('quality', path)).text()).not.toContain('href="/register/file')
    }
  })

  it('adds electrodes, takes in what was held for them, and names the rows it leaves out', async () => {
    const held = shortSurvey('HELD-9', 'قطب-7', '2026-05-01T10:00:00Z', 10)
    await house.deps.desk.handIn(held, { via: 'form', by: 'local:field' })
    const csv = [
      'electrode_id;site_id;kind;limit_ohm;Shelf',
      'قطب-7;DEMO-NORTH;rod;12,5;a',
      'DEMO-Érd;DEMO-NORTH;rood;25;b',
    ].join('\n')
    const { status, page } = await load('electrodes', csv)
    expect(status).toBe(200)
    expect(page).toContain('1 new, 0 changed, 0 as they were, 1 row left out.')
    expect(page).toContain('1 held survey taken in.')
    expect(page).toContain('Columns that were not read: Shelf.')
    expect(page).toMatch(/<th scope="row" class="num">3<\/th><td>kind<\/td><td class="wide">rood<\/td>/)
    expect((await house.deps.ledger.getElectrode('قطب-7'))?.electrode.limitOhm).toBe(12.5)
    expect((await load('electrodes', csv)).page).toContain('0 new, 0 changed, 1 as they were')
  })

  it('takes limits, calibrations and works, and tells of electrodes that are not there yet', async () => {
    const limits = 'electrode_id,purpose,limit_ohm\nDEMO-R2,lightning,8\nDEMO-LATER,lightning,8\n'
    const told = (await load('limits', limits)).page
    expect(told).toContain('2 new')
    expect(told).toContain('Not in the register yet: DEMO-LATER.')
    const books = 'instrument_id,calibrated_on\nDEMO-I7,2026-01-09\n'
    expect((await load('instruments', books)).page).toContain('1 new')
    expect((await house.deps.ledger.getCalibrations('DEMO-I7')).length).toBe(1)
    const works = 'electrode_id,done_on,what\nDEMO-R2,2026-01-09,repaired\n'
    expect((await load('works', works)).page).toContain('1 new')
  })

  it('says at the control what is wrong with the file as a whole, and writes nothing of another site', async () => {
    for (const csv of ['', 'survey_ref,tested_at\nA,2026-05-01\n']) {
      const { status, page } = await load('electrodes', csv)
      expect(status).toBe(422)
      expect(summaryLines(page).map((line) => line.fieldId)).toEqual(['file'])
    }
    const south = 'electrode_id,site_id,kind\nDEMO-N9,DEMO-NORTH,rod\nDEMO-S9,DEMO-SOUTH,rod\n'
    const { status, page } = await load('electrodes', south, 'admin', { sites: ['DEMO-NORTH'] })
    expect(status).toBe(422)
    expect(page).toContain('“DEMO-S9” is not at one of your sites')
    expect(await house.deps.ledger.getElectrode('DEMO-N9')).toBeNull()
  })
})
