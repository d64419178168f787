import fc from 'fast-check'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { type Arrival, anyArrival } from './any-arrival.ts'
import { measured, SEED, sized } from './measured.ts'
import { runScenario } from './run-scenario.ts'
import { makeScenario, type Scenario } from './scenario.ts'
import { orderlyDelivery } from './settle.ts'
import { makeWorlds, type Worlds } from './world.ts'

let worlds: Worlds
beforeAll(async () => {
  worlds = await makeWorlds()
})
afterAll(() => worlds.close())

const plainly = async (scenario: Scenario): Promise<string[]> => {
  const decisions = scenario.decisions.map((decision) => ({ kind: 'decision' as const, decision }))
  const waves = [[{ kind: 'upload' as const, surveys: scenario.surveys }], decisions]
  return (await runScenario(worlds, scenario, waves, { restAfter: () => true })).kept
}

const arriving = (scenario: Scenario, { waves, rests, queueOrder }: Arrival) => {
  let looks = 0
  return runScenario(worlds, scenario, waves, {
    restAfter: (i) => rests[i % rests.length]!,
    delivery: { ...orderlyDelivery, first: () => queueOrder[looks++ % queueOrder.length]! },
  })
}

describe('the state in the end', () => {
  it('is the same, byte for byte but for times of arrival, in whatever order, pieces, ways and copies surveys and decisions come', async () => {
    const scenario = makeScenario(4, 3)
    const plain = await plainly(scenario)
    // Of something: every survey, its peer entries, findings, the decision, an assessment and the register of each electrode.
    expect(plain.length).toBeGreaterThan(2 * scenario.surveys.length)
    const numRuns = sized(4, 1000)
    let differing = 0
    await fc.assert(
      fc.asyncProperty(anyArrival(scenario), async (arrival) => {
        const { kept } = await arriving(scenario, arrival)
        if (JSON.stringify(kept) !== JSON.stringify(plain)) differing++
        expect(kept).toEqual(plain)
      }),
      { numRuns, seed: SEED },
    )
    measured({
      what: 'any order, split, copy and interleaving of forms, API calls, uploads and decisions',
      command: 'npm run test:faults',
      count: numRuns,
      bad: { 'ending otherwise': differing },
      seed: SEED,
    })
  }, 3_600_000)
})
