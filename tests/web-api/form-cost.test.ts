import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { type House, openHouse } from '../faults/house.ts'
import { makeScenario, perform } from '../faults/scenario.ts'
import { settle } from '../faults/settle.ts'
import { undisturbed } from '../faults/steps.ts'
import { makeWorlds, type World, type Worlds } from '../faults/world.ts'
import { meteredClient, type Used } from '../ledger/metered-client.ts'

let worlds: Worlds
let world: World
let house: House
let used: Used
const scenario = makeScenario(3, 20)
const surveys = scenario.surveys.toSorted((a, b) => (a.testedAt < b.testedAt ? -1 : 1))
const earlier = surveys.slice(0, -4)
const [first, second, third] = surveys
  .slice(-4)
  .filter((s) => s.electrodeId === 'T-02' || s.electrodeId === 'T-01')

beforeAll(async () => {
  worlds = await makeWorlds()
  world = await worlds.open()
  house = openHouse(world, undisturbed, 3, (client) => {
    const metered = meteredClient(client)
    used = metered.used
    return metered.client
  })
  await perform(house, { kind: 'register', csv: scenario.registerCsv })
  await perform(house, { kind: 'upload', surveys: earlier })
  await settle(house, house)
})
afterAll(async () => {
  house.close()
  await world.close()
  await worlds.close()
})

async function spent(work: () => Promise<unknown>): Promise<Used> {
  const before = { ...used }
  await work()
  return { read: used.read - before.read, write: used.write - before.write }
}

describe('a form that is handed in', () => {
  it('reads the register once, cheaply, whoever asks for it on the way: at most 3 read units and 2 write units', async () => {
    const form = await spent(() => perform(house, { kind: 'form', survey: first! }))
    // Session, register with the site's header, lock.
    expect(form).toEqual({ read: 3, write: 2 })
    expect(await spent(() => perform(house, { kind: 'form', survey: second! }))).toEqual(form)
  })

  it('costs less as JSON, which shows a token and no session', async () => {
    const json = await spent(() => perform(house, { kind: 'json', survey: third! }))
    expect(json).toEqual({ read: 2, write: 2 })
  })
})
