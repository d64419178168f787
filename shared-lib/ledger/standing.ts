import type { Conformity } from '../evaluate/evaluation.ts'
import type { PriorTest } from '../history/assessment.ts'
import type { ElectrodeHistory } from './site-history.ts'

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
