import type { Conformity } from '../../../../shared-lib/evaluate/evaluation.ts'
import type { PriorTest } from '../../../../shared-lib/history/assessment.ts'
import type { SiteFile } from '../../../../shared-lib/ledger/ledger.ts'
import type { Person } from '../../../../shared-lib/ports/identity.ts'
import { barToRead } from '../../access.ts'

/** How one electrode stands: its newest test, judged against its limit, and when the next is due. */
interface Standing {
  electrodeId: string
  /** The newest test that was made, also one that gave no value: an earlier value says nothing of today then. Absent: never tested. */
  test?: PriorTest
  /** The newest test with a value, where that is an earlier one. */
  lastValue?: PriorTest
  conformity: Conformity
  dueOn?: string
  overdue: boolean
}

export interface SiteSummary {
  standings: Map<string, Standing>
  counts: Record<Conformity | 'no-value' | 'never-tested' | 'overdue', number>
}

/** How a site's electrodes stand, as far as a person may read them. `today` is YYYY-MM-DD. */
export function summariseSite(file: SiteFile, person: Person, today: string): SiteSummary {
  const standings = new Map<string, Standing>()
  const counts = {
    ...{ conforming: 0, nonconforming: 0, inconclusive: 0, 'not-assessed': 0 },
    ...{ 'no-value': 0, 'never-tested': 0, overdue: 0 },
  }
  for (const [electrodeId, { history }] of file.histories) {
    if (barToRead(person, history.electrode)) continue
    const tests = history.tests.map((t) => t.test).filter((t) => t.outcome === 'tested')
    const test = tests.at(-1)
    const lastValue = tests.findLast((t) => t.resistanceOhm !== null)
    const overdue = history.dueOn !== undefined && history.dueOn.slice(0, 10) < today
    const conformity = test?.conformity ?? 'not-assessed'
    standings.set(electrodeId, {
      electrodeId,
      conformity,
      overdue,
      ...(test ? { test } : {}),
      ...(lastValue && lastValue !== test ? { lastValue } : {}),
      ...(history.dueOn ? { dueOn: history.dueOn } : {}),
    })
    counts[!test ? 'never-tested' : test.resistanceOhm === null ? 'no-value' : conformity]++
    if (overdue) counts.overdue++
  }
  return { standings, counts }
}
