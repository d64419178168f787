import { replaySite } from '../../../shared-lib/history/assess-site.ts'
import type { Parameters, PriorTest } from '../../../shared-lib/history/assessment.ts'
import type { Calibration, Electrode, Work } from '../../../shared-lib/survey/register.ts'

/** The tests of one site as they were put aside. Plain data, so that another thread can be given it. */
export interface SiteTests {
  electrodes: {
    electrode: Electrode
    works: Work[]
    /** `PriorTest`s as JSON, in the order they came, and the record of the output that each belongs to. */
    tests: string[]
    records: number[]
  }[]
}

/** What all sites are compared by. */
export interface ComparedBy {
  calibrations: ReadonlyMap<string, Calibration[]>
  parameters: Parameters
  asOfMs: number | undefined
}

type Visit = ReturnType<typeof replaySite>['instruments'][number]
/** What an instrument saw at a visit, each test with its place in the output. */
export type Seen = Omit<Visit, 'tests'> & { tests: (Visit['tests'][number] & { record: number })[] }

export interface SiteCompared {
  /** Findings as JSON by record; records without any are left out. */
  findings: [record: number, json: string][]
  seen: Seen[]
}

/** The tests of one site against each other, as the service's compare does. Pure: it may run in any thread. */
export function compareSite({ electrodes }: SiteTests, by: ComparedBy): SiteCompared {
  const read = electrodes.map(({ electrode, works, tests, records }) => ({
    electrode,
    works,
    tests: tests.map((json) => JSON.parse(json) as PriorTest),
    records,
    decisions: [],
  }))
  const instruments = new Set(read.flatMap(({ tests }) => tests.flatMap((t) => t.instrumentId ?? [])))
  const site = {
    electrodes: read.map(({ records: _, ...record }) => record),
    calibrations: [...instruments].flatMap((id) => by.calibrations.get(id) ?? []),
    parameters: by.parameters,
    ...(by.asOfMs === undefined ? {} : { asOfMs: by.asOfMs }),
  }
  const { assessments, instruments: saw } = replaySite(site, null, { series: false })
  const findings: SiteCompared['findings'] = []
  const recordOf = new Map<string, Map<string, number>>()
  for (const { electrode, tests, records } of read) {
    const { electrodeId } = electrode
    const found = assessments[electrodeId]!.findings
    const byRef = new Map<string, number>()
    recordOf.set(electrodeId, byRef)
    for (const [nth, { surveyRef }] of tests.entries()) {
      const record = records[nth]!
      if (!byRef.has(surveyRef)) byRef.set(surveyRef, record)
      const own = found[surveyRef]
      if (own && own.length > 0) findings.push([record, JSON.stringify(own)])
    }
  }
  const seen = saw.map((visit) => ({
    ...visit,
    tests: visit.tests.map((t) => ({ ...t, record: recordOf.get(t.electrodeId)!.get(t.surveyRef)! })),
  }))
  return { findings, seen }
}
