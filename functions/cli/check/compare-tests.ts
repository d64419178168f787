import { setImmediate as turn } from 'node:timers/promises'
import { assessInstruments } from '../../../shared-lib/history/assess-instruments.ts'
import type { ResistorCheck } from '../../../shared-lib/history/resistor-check.ts'
import type { Finding } from '../../../shared-lib/survey/finding.ts'
import type { Spill } from '../files/spill.ts'
import type { RegisterBooks } from './books.ts'
import { type ComparedBy, compareSite, type Seen, type SiteCompared, type SiteTests } from './compare-site.ts'
import type { FindingsByRecord } from './findings-by-record.ts'
import type { SecondThread } from './second-thread.ts'
import type { IndexedSite, TestIndex } from './test-index.ts'

export interface Comparing {
  by: ComparedBy
  index: TestIndex
  /** The `PriorTest`s as JSON lines, in the places the index names. */
  tests: Spill
  register: RegisterBooks
  findings: FindingsByRecord
  /** Readings of known resistors, as the surveys went past. */
  checks: readonly ResistorCheck[]
  /** Takes its share of the sites, where there is one. */
  second: SecondThread | null
}

/** Sites that the second thread is given at once, so that it never waits for this one. */
const SITES_AHEAD = 4

/**
 * The second stage: the tests of each site against each other, a few sites in memory at a time; `done` is told after each. The event
 * loop has its turn after every site: Ctrl-C answers at once. Who compared which site cannot be seen in the result.
 */
export async function compareTests(run: Comparing, done: (sites: number) => void): Promise<void> {
  const { index, by, findings, second } = run
  const sites = index.sites()
  const seen: Seen[][] = []
  let taken = 0
  let compared = 0
  const work = async (compare: (site: SiteTests) => SiteCompared | Promise<SiteCompared>) => {
    for (let next = sites.next(); !next.done; next = sites.next()) {
      const nth = taken++
      const found = await compare(testsOf(next.value, run))
      for (const [record, json] of found.findings) findings.put(record, json)
      seen[nth] = found.seen
      done(++compared)
      await turn()
    }
  }
  const ahead = second ? Array.from({ length: SITES_AHEAD }, () => work(second.compare)) : []
  await Promise.all([...ahead, work((site) => compareSite(site, by))])
  judgeInstruments(run, seen.flat())
}

function testsOf({ electrodes }: IndexedSite, { tests, register }: Comparing): SiteTests {
  return {
    electrodes: [...electrodes].map(([electrodeId, its]) => ({
      electrode: register.electrodes.get(electrodeId)!,
      works: register.works.get(electrodeId) ?? [],
      tests: its.map(({ place }) => tests.readAt(place)),
      records: its.map(({ record }) => record),
    })),
  }
}

/** Over all sites, when all have been replayed: what an instrument has in common wherever it was. */
function judgeInstruments(
  { by: { calibrations, parameters }, findings, checks }: Comparing,
  seen: readonly Seen[],
): void {
  const bySite = Map.groupBy(seen, (s) => s.instrumentId)
  const inputs = [...bySite].map(([instrumentId, residuals]) => ({
    instrumentId,
    residuals,
    calibrations: calibrations.get(instrumentId) ?? [],
    checks: checks.filter((c) => c.instrumentId === instrumentId),
    parametersVersion: parameters.version,
  }))
  for (const { finding, ...test } of assessInstruments(inputs)) {
    const { record } = test as Seen['tests'][number]
    const all: Finding[] = [...findings.of(record), finding]
    findings.put(record, JSON.stringify(all))
  }
}
