import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { openTable } from '../../../cdk/local/adapters/table.ts'
import { createChunkStore } from '../../../functions/intake/chunk-store.ts'
import { seeded } from '../../../sample-data/make/random.ts'
import { defaultParameters } from '../../../shared-lib/history/parameters.ts'
import { createBooksReader } from '../../../shared-lib/ledger/books.ts'
import { compareSite } from '../../../shared-lib/ledger/compare-site.ts'
import { createLedger } from '../../../shared-lib/ledger/create-ledger.ts'
import { createDesk } from '../../../shared-lib/ledger/hand-in.ts'
import { inParallel } from '../../../shared-lib/ledger/parallel.ts'
import type { Survey } from '../../../shared-lib/survey/survey.ts'
import { electrode, NOW, upload } from '../../ledger/examples.ts'
import { meteredClient } from '../../ledger/metered-client.ts'
import { type Benchmark, median, ratioOf } from '../ratio.ts'

const PRIOR = [10, 100, 1000]
const ELECTRODES = [1000, 10_000]
const NEW_SURVEYS = 7
/** Ahead of what is counted: code that has not run yet is slow. */
const WARM_UP = 3
const FEW_PRIOR = 20
const WRITES_AT_ONCE = 16

function survey(electrodeId: string, nth: number): Survey {
  const random = seeded(7919 * nth + electrodeId.length)
  const ohm = (share: number) => Number((12 * share * (1 + 0.02 * (random() - 0.5))).toFixed(2))
  return {
    ...{ surveyRef: `S-${nth}`, electrodeId, method: 'fall-of-potential', outcome: 'tested' },
    testedAt: new Date(Date.UTC(1990, 0, 1 + 7 * nth, 9)).toISOString(),
    ...{ measuredAs: 'electrode-alone', currentProbeM: 40, tester: 'crew 2' },
    readings: [0.52, 0.62, 0.72].map((share, i) => ({
      ...{ potentialProbeM: 40 * share, resistanceOhm: ohm(0.985 + 0.015 * i), condition: 'ok' as const },
    })),
  }
}

interface Spent {
  ms: number
  readUnits: number
}

/** What one more survey of an electrode takes to be compared: the middle of several, one after the other. */
async function compareOneMore({ electrodes, prior }: { electrodes: number; prior: number }): Promise<Spent> {
  const dataDir = await mkdtemp(join(tmpdir(), 'stakeline-growth-'))
  const table = await openTable({ dataDir })
  try {
    const plain = createLedger(table)
    const metered = meteredClient(table.client)
    const counted = createLedger({ client: metered.client, tableName: table.tableName })
    let ids = 0
    const newId = () => `id${ids++}`
    const clock = { nowMs: () => Date.parse(NOW) }
    const desk = createDesk({ ledger: plain, compareQueue: { send: async () => {} }, clock, newId })
    const others = Array.from({ length: electrodes - 1 }, (_, i) => i)
    await inParallel(others, WRITES_AT_ONCE, (i) =>
      plain.putElectrode(electrode(`O-${i}`, { siteId: `site ${Math.floor(i / 10)}` }), { nowIso: NOW }),
    )
    await plain.putElectrode(electrode('E', { siteId: 'HERE', limitOhm: 50 }), { nowIso: NOW })
    const compare = (ledger: typeof plain, surveyRefs: string[]) =>
      compareSite(
        {
          ...{ ledger, parameters: defaultParameters, newId, nowIso: () => NOW },
          ...{ beforeNews: async () => {}, afterNews: async () => {} },
        },
        'HERE',
        surveyRefs.map((surveyRef) => ({ electrodeId: 'E', surveyRef })),
      )
    const store = createChunkStore({ ledger: plain, books: createBooksReader(plain), clock, newId })
    await store(
      upload('first'),
      Array.from({ length: prior }, (_, place) => ({
        ...{ kind: 'survey' as const, survey: survey('E', place), place },
        ...{ firstRow: place + 2, lastRow: place + 2 },
      })),
    )
    await compare(plain, [])
    const runs: Spent[] = []
    for (let n = 0; n < WARM_UP + NEW_SURVEYS; n++) {
      const next = survey('E', prior + n)
      await desk.handIn(next, { via: 'api', by: 'local:field' })
      // Time by the plain client, units by the counting one: counting asks the table more than the comparison does.
      const measured = n < WARM_UP + NEW_SURVEYS - 1
      const readBefore = metered.used.read
      const startMs = performance.now()
      await compare(measured ? plain : counted, [next.surveyRef])
      runs.push({ ms: performance.now() - startMs, readUnits: metered.used.read - readBefore })
    }
    const timed = runs.slice(WARM_UP, -1).map((r) => r.ms)
    return { ms: median(timed), readUnits: runs.at(-1)!.readUnits }
  } finally {
    await table.close()
    await rm(dataDir, { recursive: true, force: true, maxRetries: 5 })
  }
}

/** A comparison may grow with the electrode's own history, no faster than it, and not with the fleet. */
export const compareGrowth: Benchmark = {
  name: 'compare-growth',
  async run(scale) {
    await compareOneMore({ electrodes: 1, prior: FEW_PRIOR })
    const byPrior: Spent[] = []
    for (const prior of PRIOR) byPrior.push(await compareOneMore({ electrodes: 1, prior }))
    const [fewest, , most] = byPrior as [Spent, Spent, Spent]
    const sizes = ELECTRODES.map((n) => Math.max(1, Math.round(n * scale)))
    const bySize: Spent[] = []
    for (const electrodes of sizes) bySize.push(await compareOneMore({ electrodes, prior: FEW_PRIOR }))
    const [small, large] = bySize as [Spent, Spent]
    const history = {
      what: `comparing one new survey after ${PRIOR[2]} prior tests of its electrode`,
      against: `after ${PRIOR[0]} prior tests`,
      goal: PRIOR[2]! / PRIOR[0]!,
    }
    const fleet = {
      what: `comparing one new survey with ${sizes[1]} electrodes in the table`,
      against: `with ${sizes[0]} electrodes`,
    }
    return [
      ratioOf({
        ...{ name: 'compare-growth-history-ms', ...history, unit: 'ms' },
        ...{ measured: most.ms, reference: fewest.ms, notes: { 'ms after 100': Math.round(byPrior[1]!.ms) } },
      }),
      ratioOf({
        ...{ name: 'compare-growth-history-read', ...history, unit: 'read units' },
        ...{ measured: most.readUnits, reference: fewest.readUnits },
      }),
      ratioOf({
        ...{ name: 'compare-growth-fleet-ms', ...fleet, unit: 'ms', goal: 1.5 },
        ...{ measured: large.ms, reference: small.ms },
      }),
      ratioOf({
        ...{ name: 'compare-growth-fleet-read', ...fleet, unit: 'read units', goal: 1 },
        ...{ measured: large.readUnits, reference: small.readUnits },
      }),
    ]
  },
}
