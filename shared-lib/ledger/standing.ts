import type { Conformity } from '../evaluate/evaluation.ts'
import type { PriorTest } from '../history/assessment.ts'
import { STANDINGS_HEADER_KEY, STANDINGS_PK, standingKey } from './keys.ts'
import type { Ledger, SiteFile } from './ledger.ts'
import { row } from './rows.ts'
import { sameJson } from './same-json.ts'
import type { ElectrodeHistory } from './site-history.ts'
import type { TableAccess } from './table-access.ts'

/** How one electrode stands: its newest test, judged against its limit, and when the next is due. */
export interface Standing {
  electrodeId: string
  /** The newest test that was made, also one that gave no value: an earlier value says nothing of today then. Absent: never tested. */
  test?: PriorTest
  /** The newest test with a value, where that is an earlier one. */
  lastValue?: PriorTest
  conformity: Conformity
  dueOn?: string
  overdue: boolean
}

export type StandingCounts = Record<Conformity | 'no-value' | 'never-tested' | 'overdue', number>

/** One site of the fleet's summary. */
export interface SiteStanding {
  siteId: string
  electrodes: number
  counts: StandingCounts
}

/** How the fleet stood when it was counted last; `countedAt` null: never yet. */
export interface FleetStanding {
  countedAt: string | null
  sites: SiteStanding[]
}

/** How an electrode stands on a day (YYYY-MM-DD). */
export function standingOf(history: ElectrodeHistory, today: string): Standing {
  const tests = history.tests.map((t) => t.test).filter((t) => t.outcome === 'tested')
  const test = tests.at(-1)
  const lastValue = tests.findLast((t) => t.resistanceOhm !== null)
  return {
    electrodeId: history.electrode.electrodeId,
    conformity: test?.conformity ?? 'not-assessed',
    overdue: history.dueOn !== undefined && history.dueOn.slice(0, 10) < today,
    ...(test ? { test } : {}),
    ...(lastValue && lastValue !== test ? { lastValue } : {}),
    ...(history.dueOn ? { dueOn: history.dueOn } : {}),
  }
}

const noCounts = (): StandingCounts => ({
  ...{ conforming: 0, nonconforming: 0, inconclusive: 0, 'not-assessed': 0 },
  ...{ 'no-value': 0, 'never-tested': 0, overdue: 0 },
})

/** Each electrode counts once by its newest test, and once more where its next test is overdue. */
export function countStandings(standings: Iterable<Standing>): StandingCounts {
  const counts = noCounts()
  for (const { test, conformity, overdue } of standings) {
    counts[!test ? 'never-tested' : test.resistanceOhm === null ? 'no-value' : conformity]++
    if (overdue) counts.overdue++
  }
  return counts
}

export function addCounts(all: readonly StandingCounts[]): StandingCounts {
  const sum = noCounts()
  for (const counts of all)
    for (const key of Object.keys(sum) as (keyof StandingCounts)[]) sum[key] += counts[key]
  return sum
}

/**
 * Counts how every site stands and keeps it: what a page of the whole fleet shows without reading the fleet. One query a site; a
 * site is written only where its numbers changed, a site that is no more goes. Returns how many were written or removed.
 */
export async function countFleet(
  ledger: Pick<Ledger, 'getFleetStanding' | 'putFleetStanding'>,
  sites: AsyncIterable<SiteFile & { siteId: string }>,
  nowIso: string,
): Promise<number> {
  const before = new Map((await ledger.getFleetStanding()).sites.map((s) => [s.siteId, s]))
  const changed: SiteStanding[] = []
  for await (const { siteId, histories } of sites) {
    const standings = [...histories.values()].map(({ history }) => standingOf(history, nowIso.slice(0, 10)))
    if (standings.length === 0) continue
    const now = { siteId, electrodes: standings.length, counts: countStandings(standings) }
    if (!sameJson(now, before.get(siteId))) changed.push(now)
    before.delete(siteId)
  }
  await ledger.putFleetStanding({ countedAt: nowIso, changed, gone: [...before.keys()] })
  return changed.length + before.size
}

export function standingsArea(table: TableAccess): Pick<Ledger, 'getFleetStanding' | 'putFleetStanding'> {
  return {
    async getFleetStanding() {
      const rows = await table.queryAll({ partition: STANDINGS_PK, strong: false })
      const header = rows.find((r) => r.sk === STANDINGS_HEADER_KEY.sk)
      return {
        countedAt: (header?.countedAt as string | undefined) ?? null,
        sites: rows.filter((r) => r !== header).map((r) => r.d as SiteStanding),
      }
    },
    putFleetStanding: ({ countedAt, changed, gone }) =>
      table.writeMany(
        [
          row(STANDINGS_HEADER_KEY, { countedAt }),
          ...changed.map((s) => row(standingKey(s.siteId), { d: s })),
        ],
        gone.map(standingKey),
      ),
  }
}
