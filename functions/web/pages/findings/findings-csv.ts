import type { FindingItem } from '../../../../shared-lib/ledger/kept/finding.ts'
import { csvLine } from '../../../../shared-lib/survey/csv-line.ts'

const COLUMNS: [name: string, of: (f: FindingItem) => string | number | undefined][] = [
  ['finding_id', (f) => f.id],
  ['state', (f) => f.state],
  ['severity', (f) => f.severity],
  ['code', (f) => f.code],
  ['site_id', (f) => f.siteId],
  ['electrode_id', (f) => f.electrodeId],
  ['survey_ref', (f) => f.surveyRef],
  ['tested_at', (f) => f.testedAt],
  ['opened_at', (f) => f.openedAt],
  ['instrument_id', (f) => f.instrumentId],
  ['tester', (f) => f.tester],
  ['responsible_email', (f) => f.responsibleEmail],
  ['probability', (f) => f.probability ?? undefined],
  ['message', (f) => f.message],
  ['verdict', (f) => verdict(f)?.action],
  ['decided_by', (f) => verdict(f)?.decidedBy],
  ['decided_at', (f) => instantOf(verdict(f)?.decidedAtMs)],
  ['reason', (f) => verdict(f)?.reason],
  [
    'settled_by_survey',
    (f) => (f.closedBy && 'laterSurveyRef' in f.closedBy ? f.closedBy.laterSurveyRef : undefined),
  ],
  ['judged_with', (f) => String(f.evidence.parametersVersion ?? '')],
]

const verdict = (f: FindingItem) =>
  f.ruling ?? (f.closedBy && 'decision' in f.closedBy ? f.closedBy.decision : undefined)
const instantOf = (ms: number | undefined) => (ms === undefined ? undefined : new Date(ms).toISOString())

/** Findings as CSV, every row with its verdict, who, when and why. Text that a spreadsheet would run is guarded; numbers stay numbers. */
export async function* findingsCsv(pages: AsyncIterable<readonly FindingItem[]>): AsyncGenerator<string> {
  yield `\uFEFF${csvLine(COLUMNS.map(([name]) => name))}`
  for await (const items of pages)
    if (items.length > 0) yield items.map((f) => csvLine(COLUMNS.map(([, of]) => of(f)))).join('')
}
