import { evaluateSurvey } from '../../../shared-lib/evaluate/evaluate-survey.ts'
import { type JudgedSurvey, judgedSurvey } from '../../../shared-lib/evaluate/evaluation.ts'
import { contextInForce } from '../../../shared-lib/evaluate/in-force.ts'
import { assessInstruments } from '../../../shared-lib/history/assess-instruments.ts'
import { replaySite } from '../../../shared-lib/history/assess-site.ts'
import type { ElectrodeRecord, Parameters } from '../../../shared-lib/history/assessment.ts'
import { toPriorTest } from '../../../shared-lib/history/prior-test.ts'
import type { Finding } from '../../../shared-lib/survey/finding.ts'
import type { Calibration, Electrode, Work } from '../../../shared-lib/survey/register.ts'
import type { Survey } from '../../../shared-lib/survey/survey.ts'

/** What an operator hands in. */
export interface FleetRecords {
  electrodes: readonly Electrode[]
  calibrations: readonly Calibration[]
  works: readonly Work[]
  surveys: readonly Survey[]
}

/** Every survey by itself, and the histories by site that the comparison reads. */
export interface JudgedAlone {
  judged: JudgedSurvey[]
  sites: Map<string, ElectrodeRecord[]>
  calibrations: Calibration[]
}

/** Survey references are unique within an electrode only. */
export const keyOf = (electrodeId: string, surveyRef: string): string => `${electrodeId}\n${surveyRef}`

/** Each survey by itself, by the books in force; what names no known electrode is left out. */
export function judgeAlone(fleet: FleetRecords): JudgedAlone {
  const records = new Map<string, ElectrodeRecord>()
  for (const electrode of fleet.electrodes)
    records.set(electrode.electrodeId, {
      electrode,
      tests: [],
      works: fleet.works.filter((w) => w.electrodeId === electrode.electrodeId),
      decisions: [],
    })
  const byInstrument = Map.groupBy(fleet.calibrations, (c) => c.instrumentId)
  const judged: JudgedSurvey[] = []
  for (const survey of fleet.surveys) {
    const record = records.get(survey.electrodeId ?? '')
    if (!record) continue
    const { electrode } = record
    const calibrations = byInstrument.get(survey.instrumentId ?? '') ?? []
    const context = contextInForce(survey, { versions: [{ from: '', electrode }], limits: [], calibrations })
    if (!context) continue
    const evaluation = evaluateSurvey(survey, context)
    judged.push(judgedSurvey(survey, evaluation))
    record.tests.push(toPriorTest(survey, evaluation, electrode.siteId))
  }
  const sites = Map.groupBy(records.values(), (r) => r.electrode.siteId)
  return { judged, sites, calibrations: [...fleet.calibrations] }
}

/** All sites against their past, then the instruments over all sites. Findings by `keyOf`. */
export function judgeHistories(alone: JudgedAlone, parameters: Parameters): Map<string, Finding[]> {
  const found = new Map<string, Finding[]>()
  const instruments = []
  for (const electrodes of alone.sites.values()) {
    const replay = replaySite({ electrodes, calibrations: alone.calibrations, parameters })
    instruments.push(...replay.instruments)
    for (const [id, assessment] of Object.entries(replay.assessments))
      for (const [ref, findings] of Object.entries(assessment.findings)) found.set(keyOf(id, ref), findings)
  }
  const inputs = [...Map.groupBy(instruments, (r) => r.instrumentId)].map(([instrumentId, residuals]) => ({
    instrumentId,
    residuals,
    calibrations: alone.calibrations.filter((c) => c.instrumentId === instrumentId),
    checks: [],
  }))
  for (const f of assessInstruments(inputs)) {
    const key = keyOf(f.electrodeId, f.surveyRef)
    const list = found.get(key)
    if (list) list.push(f.finding)
    else found.set(key, [f.finding])
  }
  return found
}
