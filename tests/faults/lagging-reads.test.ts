import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { seeded } from '../../sample-data/make/random.ts'
import { defaultParameters } from '../../shared-lib/history/parameters.ts'
import { type House, openHouse } from './house.ts'
import { laggingReads } from './lagging-reads.ts'
import { measured, SEED, sized } from './measured.ts'
import { makeScenario, perform } from './scenario.ts'
import { settle } from './settle.ts'
import { undisturbed } from './steps.ts'
import { makeWorlds, type Worlds } from './world.ts'

let worlds: Worlds
beforeAll(async () => {
  worlds = await makeWorlds()
})
afterAll(() => worlds.close())

const scenario = makeScenario(3, 6)
const [first, second, third, fourth, fifth, ...earlier] = scenario.surveys.toSorted((a, b) =>
  a.testedAt < b.testedAt ? 1 : -1,
)

/** A year in which the books change between hand-ins: words, limits, a calibration, a move, the parameters. */
async function year(house: House, watcher: House): Promise<void> {
  const rest = () => settle(house, watcher)
  const write = async (method: string, path: string, body: object = {}) => {
    const headers = { 'content-type': 'application/json' }
    const answer = await house.ask('admin', path, { method, headers, body: JSON.stringify(body) })
    if (!answer.ok) throw new Error(`${path}: ${answer.status} ${await answer.text()}`)
  }
  await perform(house, { kind: 'register', csv: scenario.registerCsv })
  await perform(house, { kind: 'upload', surveys: earlier })
  await rest()
  await perform(house, { kind: 'json', survey: fifth! })
  await rest()
  await perform(house, { kind: 'register', csv: scenario.registerCsv.replaceAll(',25,', ',9,') })
  await perform(house, { kind: 'json', survey: fourth! })
  await rest()
  await write('PUT', '/api/instruments/M-1', { calibratedOn: '2021-01-01', accuracyPercent: 2 })
  await write('PUT', '/api/limits/T-01', { purpose: 'lightning', limitOhm: 8 })
  await perform(house, { kind: 'form', survey: third! })
  await rest()
  await perform(house, { kind: 'json', survey: second! })
  await rest()
  await perform(house, { kind: 'register', csv: scenario.registerCsv.replaceAll('T-02,TS-0', 'T-02,TS-9') })
  await perform(house, { kind: 'form', survey: first! })
  await rest()
  const parameters = { ...defaultParameters, version: 'taught', noiseLn: 0.02 }
  const counts = { appear: 0, go: 0, graver: 0, milder: 0, chance: 0 } as never
  await house.ledger.putLearnt({ parameters, learntAt: '2026-05-01T00:00:00Z', counts, changes: [] })
  await write('POST', '/api/parameters/taught/adopt')
  await rest()
}

/**
 * Which books were open when a survey came in is a note for its first comparison, and of that moment: a read that lagged names the books
 * before, is found out by that comparison, and the note is not looked at again. What was judged by them must be the same.
 */
const withoutBooksAt = (line: string): string => line.replace(/"booksAt":"[^"]*",?/, '')

async function keptWhere(lags: (() => boolean) | null): Promise<{ kept: string[]; lagged: number }> {
  const world = await worlds.open()
  let lagged = () => 0
  const house = openHouse(world, undisturbed, 3, (client) => {
    if (!lags) return client
    const lagging = laggingReads(client, lags)
    lagged = lagging.lagged
    return lagging.client
  })
  const watcher = openHouse(world)
  try {
    await year(house, watcher)
    return { kept: (await world.kept()).map(withoutBooksAt), lagged: lagged() }
  } finally {
    house.close()
    watcher.close()
    await world.close()
  }
}

describe('cheap reads that lag behind what was written', () => {
  it('change nothing of what stands in the end, whichever of them lag', async () => {
    const { kept: plain } = await keptWhere(null)
    expect(plain.some((line) => line.includes('"parametersVersion":"taught"'))).toBe(true)
    const always = await keptWhere(() => true)
    expect(always.lagged).toBeGreaterThan(5)
    expect(always.kept).toEqual(plain)
    const random = seeded(SEED)
    const runs = sized(1, 60)
    for (let run = 0; run < runs; run++) {
      const some = await keptWhere(() => random() < 0.5)
      expect(some.kept).toEqual(plain)
    }
    measured({
      what: 'reads that lag behind while register, limits, calibration and parameters change',
      command: 'npm run test:faults',
      count: runs + 1,
      bad: { 'ending otherwise': 0 },
      seed: SEED,
    })
  }, 600_000)
})
