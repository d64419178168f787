import { assessInstruments } from '../../../shared-lib/history/assess-instruments.ts'
import { replaySite } from '../../../shared-lib/history/assess-site.ts'
import type { Parameters, PriorTest } from '../../../shared-lib/history/assessment.ts'
import type { ResistorCheck } from '../../../shared-lib/history/resistor-check.ts'
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
  /** Readings of known resistors, as the surveys went past. */
  checks: readonly ResistorCheck[]
}

/**
 * The second stage: the tests of each site against each other, as the service's compare does, one site in memory at a time. Yields after
 * every site, so that the caller can show progress and let Ctrl-C through.
 */
export function* compareTests(run: Comparing): Generator<void> {
  const { index, register, parameters, findings } = run
  const seen: Seen[] = []
  for (const { electrodes } of index.sites()) {
    const read = new Map<string, PriorTest[]>()
    for (const [electrodeId, places] of electrodes)
      read.set(
        electrodeId,
        places.map(({ place }) => JSON.parse(run.tests.readAt(place)) as PriorTest),
      )
    const instruments = new Set([...read.values()].flat().flatMap((t) => t.instrumentId ?? []))
    const site = {
      electrodes: [...read].map(([electrodeId, tests]) => ({
        electrode: register.electrodes.get(electrodeId)!,
        tests,
        works: register.works.get(electrodeId) ?? [],
        decisions: [],
      })),
      calibrations: [...instruments].flatMap((id) => register.calibrations.get(id) ?? []),
      parameters,
      ...(run.asOfMs === undefined ? {} : { asOfMs: run.asOfMs }),
    }
    const { assessments, instruments: saw } = replaySite(site, null, { series: false })
    for (const [electrodeId, tests] of read) {
      const assessment = assessments[electrodeId]!
      for (const [nth, test] of tests.entries()) {
        const found = assessment.findings[test.surveyRef]
        if (found && found.length > 0) findings.put(electrodes.get(electrodeId)![nth]!.record, found)
      }
    }
    const recordOf = (electrodeId: string, surveyRef: string) => {
      const nth = read.get(electrodeId)!.findIndex((t) => t.surveyRef === surveyRef)
      return electrodes.get(electrodeId)![nth]!.record
    }
    for (const visit of saw) {
      const tests = visit.tests.map((t) => ({ ...t, record: recordOf(t.electrodeId, t.surveyRef) }))
      seen.push({ ...visit, tests })
    }
    yield
  }
  judgeInstruments(run, seen)
}

type Visit = ReturnType<typeof replaySite>['instruments'][number]
/** What an instrument saw at a visit, each test with its place in the output. */
type Seen = Visit & { tests: (Visit['tests'][number] & { record: number })[] }

/** Over all sites, when all have been replayed: what an instrument has in common wherever it was. */
function judgeInstruments(
  { register, parameters, findings, checks }: Comparing,
  seen: readonly Seen[],
): void {
  const bySite = Map.groupBy(seen, (s) => s.instrumentId)
  const inputs = [...bySite].map(([instrumentId, residuals]) => ({
    instrumentId,
    residuals,
    calibrations: register.calibrations.get(instrumentId) ?? [],
    checks: checks.filter((c) => c.instrumentId === instrumentId),
    parametersVersion: parameters.version,
  }))
  for (const { finding, ...test } of assessInstruments(inputs)) {
    const { record } = test as Seen['tests'][number]
    findings.put(record, [...findings.of(record), finding])
  }
}
