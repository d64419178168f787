import { csvLine } from '../../../../shared-lib/survey/csv-line.ts'
import { standsAs } from './compliance-words.ts'
import type { ComplianceRow } from './read-compliance.ts'

type Cell = string | number | null | undefined

const COLUMNS: [name: string, of: (r: ComplianceRow) => Cell][] = [
  ['electrode_id', (r) => r.electrode.electrodeId],
  ['site_id', (r) => r.electrode.siteId],
  ['tag', (r) => r.electrode.tag],
  ['kind', (r) => r.electrode.kind],
  ['location_text', (r) => r.electrode.locationText],
  ['survey_ref', (r) => r.record?.survey.surveyRef],
  ['tested_at', (r) => r.record?.survey.testedAt],
  ['method', (r) => r.record?.survey.method],
  ['measured_as', (r) => r.record?.survey.measuredAs],
  ['validity', (r) => r.record?.judged.validity],
  ['resistance_ohm', (r) => r.record?.judged.resistanceOhm],
  ['expanded_uncertainty_ohm', (r) => r.record?.judged.expandedUncertaintyOhm],
  ['limit_ohm', (r) => r.limitOhm],
  ['limit_basis', (r) => r.limitBasis],
  ['stands_as', (r) => standsAs(r)],
  ['conformity_rule', (r) => r.record?.judged.conformityRule],
  ['conformity_probability', (r) => r.record?.judged.conformityProbability],
  ['last_value_ohm', (r) => r.standing?.lastValue?.resistanceOhm],
  ['last_value_survey_ref', (r) => r.standing?.lastValue?.surveyRef],
  ['instrument_id', (r) => r.record?.survey.instrumentId],
  ['calibrated_on', (r) => r.calibration?.calibratedOn],
  ['calibration_due_on', (r) => r.calibration?.calibrationDueOn],
  ['next_due_on', (r) => r.standing?.dueOn?.slice(0, 10)],
  ['overdue', (r) => (r.standing?.overdue ? 'yes' : 'no')],
]

/** A site's compliance summary as CSV, one row an electrode; `countedAt` is in each. Text that a spreadsheet would run is guarded. */
export function complianceCsv(rows: readonly ComplianceRow[], countedAt: string): string {
  const table = [
    [...COLUMNS.map(([name]) => name), 'counted_at'],
    ...rows.map((row) => [...COLUMNS.map(([, of]) => of(row)), countedAt]),
  ]
  return `\uFEFF${table.map(csvLine).join('')}`
}
