import { afterEach, expect, it } from 'vitest'
import { ownMapName } from '../../functions/web/own-map-name.ts'
import { type House, openHouse, someone } from './house.ts'

let house: House
afterEach(() => house.close())

it('lists the shared column maps to everybody, and what a person pointed out to that person alone', async () => {
  house = await openHouse()
  const [anna, bert] = ['local:anna', 'local:bert'].map((id) => someone('field', { id }))
  const map = { columns: [{ heading: 'Ohm', field: 'resistance_ohm' }] }
  await house.deps.ledger.putColumnMap('north office', map)
  await house.deps.ledger.putColumnMap(ownMapName(anna!), map)
  const names = async (person: typeof anna) => {
    const answer = await house.call(person!, 'GET', '/api/column-maps')
    return ((await answer.json()) as { items: { name: string }[] }).items.map((m) => m.name).sort()
  }
  expect(await names(anna)).toEqual(['columns of local:anna', 'north office'])
  expect(await names(bert)).toEqual(['north office'])
})
