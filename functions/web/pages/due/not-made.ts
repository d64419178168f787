import type { ElectrodeRecord } from '../../../../shared-lib/ledger/kept/register.ts'
import type { Ledger } from '../../../../shared-lib/ledger/ledger.ts'
import { inParallel } from '../../../../shared-lib/ledger/parallel.ts'
import type { Outcome } from '../../../../shared-lib/survey/survey.ts'

/** A visit after the last test at which the test could not be made. */
export interface NotMade {
  outcome: Outcome
  atMs: number
}

const SITES_AT_ONCE = 8

/** For electrodes of a list: the newest visit since the last test, and why the test was not made. It stays due all the same. */
export async function visitsWithoutTest(
  ledger: Pick<Ledger, 'readSite'>,
  records: readonly ElectrodeRecord[],
): Promise<Map<string, NotMade>> {
  const found = new Map<string, NotMade>()
  const bySite = [...Map.groupBy(records, (r) => r.electrode.siteId)]
  await inParallel(bySite, SITES_AT_ONCE, async ([siteId, own]) => {
    const { histories } = await ledger.readSite(siteId)
    for (const { electrode, lastTestedAt } of own) {
      const sinceMs = lastTestedAt === undefined ? Number.NEGATIVE_INFINITY : Date.parse(lastTestedAt)
      const visit = histories
        .get(electrode.electrodeId)
        ?.history.tests.map((t) => t.test)
        .findLast((t) => t.outcome !== 'tested' && t.testedAtMs > sinceMs)
      if (visit) found.set(electrode.electrodeId, { outcome: visit.outcome, atMs: visit.testedAtMs })
    }
  })
  return found
}
