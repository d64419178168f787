import fc from 'fast-check'
import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest'
import { anyArrival } from './any-arrival.ts'
import { measured, SEED, sized } from './measured.ts'
import { randomFaults } from './random-faults.ts'
import { runScenario } from './run-scenario.ts'
import { type Act, makeScenario } from './scenario.ts'
import { makeWorlds, type Worlds } from './world.ts'

let worlds: Worlds
beforeAll(async () => {
  // What fails on purpose is written down by the app; here it only hides what matters.
  vi.spyOn(console, 'error').mockImplementation(() => {})
  worlds = await makeWorlds()
})
afterAll(() => worlds.close())

const scenario = makeScenario(4, 3)
const decisions = scenario.decisions.map((decision): Act => ({ kind: 'decision', decision }))
const plainWaves: Act[][] = [[{ kind: 'upload', surveys: scenario.surveys }], decisions]

describe('with faults at every port', () => {
  // With the client's own three tries, and harder: every single fault reaches the handler.
  it.each([
    { rate: 0.1, attempts: 3, inCi: 1, full: 200 },
    { rate: 0.02, attempts: 1, inCi: 1, full: 100 },
  ])(
    'the whole scenario at $rate faults ($attempts tries a request) ends as it ends without',
    async ({ rate, attempts, inCi, full }) => {
      const plain = (await runScenario(worlds, scenario, plainWaves, { restAfter: () => true })).kept
      const numRuns = sized(inCi, full)
      const total: Record<string, number> = {}
      let differing = 0
      let deadLetters = 0
      await fc.assert(
        fc.asyncProperty(fc.nat(), anyArrival(scenario), async (seed, arrival) => {
          const { by, delivery, counts } = randomFaults(rate, seed)
          const ran = await runScenario(worlds, scenario, arrival.waves, {
            by,
            delivery,
            attempts,
            restAfter: (i) => arrival.rests[i % arrival.rests.length]!,
          })
          for (const [kind, n] of Object.entries(counts)) total[kind] = (total[kind] ?? 0) + n
          deadLetters += ran.deadLetters
          if (JSON.stringify(ran.kept) !== JSON.stringify(plain)) differing++
          expect(ran.kept).toEqual(plain)
        }),
        // What fails is told at once: to make it smaller takes as long as hundreds of runs.
        { numRuns, seed: SEED, endOnFailure: true },
      )
      const injected = Object.values(total).reduce((a, b) => a + b, 0)
      expect(injected).toBeGreaterThan(10 * numRuns)
      measured({
        what: `whole scenario with ${100 * rate} % faults at every port, ${attempts} tries a request`,
        command: 'npm run test:faults',
        count: numRuns,
        bad: { 'ending otherwise': differing },
        seed: SEED,
        notes: `${injected} faults: ${Object.entries(total)
          .map(([kind, n]) => `${kind} ${n}`)
          .join(', ')}; dead letters sent back ${deadLetters}`,
      })
    },
    3_600_000,
  )
})
