import { assessSite } from '../../../shared-lib/history/assess-site.ts'
import type { Parameters, PriorTest } from '../../../shared-lib/history/assessment.ts'
import type { Spill } from '../files/spill.ts'
import type { RegisterBooks } from './books.ts'
import type { FindingsByRecord } from './findings-by-record.ts'
import type { TestIndex } from './test-index.ts'

export interface Comparing {
  index: TestIndex
  /** The `PriorTest`s as JSON lines, in the places the index names. */
  tests: Spill
  register: RegisterBooks
  parameters: Parameters
  asOfMs: number | undefined
  findings: FindingsByRecord
}

/**
 * The second stage: the tests of each site against each other, as the service's compare does, one site in memory at a time. Yields after
 * every site, so that the caller can show progress and let Ctrl-C through.
 */
export function* compareTests(run: Comparing): Generator<void> {
  const { index, register, parameters, findings } = run
  for (const { electrodes } of index.sites()) {
    const read = new Map<string, PriorTest[]>()
    for (const [electrodeId, places] of electrodes)
      read.set(
        electrodeId,
        places.map(({ place }) => JSON.parse(run.tests.readAt(place)) as PriorTest),
      )
    const instruments = new Set([...read.values()].flat().flatMap((t) => t.instrumentId ?? []))
    const assessments = assessSite({
      electrodes: [...read].map(([electrodeId, tests]) => ({
        electrode: register.electrodes.get(electrodeId)!,
        tests,
        works: register.works.get(electrodeId) ?? [],
        decisions: [],
      })),
      calibrations: [...instruments].flatMap((id) => register.calibrations.get(id) ?? []),
      parameters,
      ...(run.asOfMs === undefined ? {} : { asOfMs: run.asOfMs }),
    })
    for (const [electrodeId, tests] of read) {
      const assessment = assessments[electrodeId]!
      for (const [nth, test] of tests.entries()) {
        const found = assessment.findings[test.surveyRef]
        if (found && found.length > 0) findings.put(electrodes.get(electrodeId)![nth]!.record, found)
      }
    }
    yield
  }
}
