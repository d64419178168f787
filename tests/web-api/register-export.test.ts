import { readFile } from 'node:fs/promises'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { REGISTER_TABLES, type RegisterTable } from '../../functions/web/load-register-table.ts'
import { type House, openHouse, someone } from './house.ts'

const SAMPLE = join(import.meta.dirname, '../../sample-data')
const admin = someone('admin')
const csv = { 'Content-Type': 'text/csv' }
let house: House

const load = async (table: RegisterTable, text: string) =>
  (await (await house.call(admin, 'POST', `/api/register?table=${table}`, text, csv)).json()) as {
    created: number
    changed: number
    same: number
    rowsRefused: number
  }
const exported = async (table: RegisterTable, who = admin, more = '') => {
  const answer = await house.call(who, 'GET', `/api/export/register.csv?table=${table}${more}`)
  expect(answer.status).toBe(200)
  expect(answer.headers.get('content-disposition')).toBe(`attachment; filename="${table}.csv"`)
  return answer.text()
}
/** Rows below the heading. */
const rows = (text: string) => text.trim().split('\r\n').slice(1)

beforeAll(async () => {
  house = await openHouse()
  for (const table of REGISTER_TABLES) {
    const done = await load(table, await readFile(join(SAMPLE, `${table}.csv`), 'utf8'))
    expect(done).toMatchObject({ changed: 0, rowsRefused: 0 })
  }
}, 60_000)
afterAll(() => house.close())

describe('the register as CSV', () => {
  it.each(REGISTER_TABLES)('has every entry of %s, and loaded again it changes nothing', async (table) => {
    const text = await exported(table)
    expect(rows(text).length).toBeGreaterThan(3)
    house.toCompare.length = 0
    const again = await load(table, text)
    expect(again).toMatchObject({ created: 0, changed: 0, same: rows(text).length, rowsRefused: 0 })
    if (table === 'electrodes') expect(house.toCompare).toEqual([])
    expect(await exported(table)).toBe(text)
  })

  it('makes the same register in an empty house', async () => {
    const tables = await Promise.all(
      REGISTER_TABLES.map(async (table) => [table, await exported(table)] as const),
    )
    const before = house
    house = await openHouse()
    try {
      for (const [table, text] of tables) {
        expect(await load(table, text)).toMatchObject({ created: rows(text).length, rowsRefused: 0 })
        expect(await exported(table)).toBe(text)
      }
    } finally {
      await house.close()
      house = before
    }
  })

  it('holds what a person may see and nothing else; instruments belong to no site', async () => {
    const crew = someone('field', { sites: ['DEMO-ARNVEY'] })
    for (const table of ['electrodes', 'limits', 'works'] as const) {
      const [all, own] = [rows(await exported(table)), rows(await exported(table, crew))]
      expect(own).toEqual(all.filter((row) => row.startsWith('DEMO-ARN-')))
      expect(rows(await exported(table, admin, '&site=DEMO-ARNVEY'))).toEqual(own)
    }
    expect(await exported('instruments', crew)).toBe(await exported('instruments'))
    expect((await house.call(crew, 'GET', '/api/export/register.csv?site=DEMO-DUNFORD')).status).toBe(403)
    expect((await house.call(crew, 'GET', '/api/export/register.csv?table=people')).status).toBe(422)
  })
})
