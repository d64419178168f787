import Papa from 'papaparse'
import type { RefusedRow } from '../../../../shared-lib/ledger/kept/upload.ts'

const COLUMNS = ['row', 'column', 'value', 'code', 'problem', 'survey_ref'] as const

/** Heading row, with a byte order mark so that spreadsheets read the letters right. */
export const REFUSED_CSV_HEAD = `\uFEFF${COLUMNS.join(',')}\r\n`

/** Refused rows as lines of CSV. Text that a spreadsheet would run as a formula is made harmless; numbers stay numbers. */
export function refusedCsvLines(rows: readonly RefusedRow[]): string {
  if (rows.length === 0) return ''
  const table = rows.map((r) => [
    r.row ?? '',
    r.column ?? '',
    r.value ?? '',
    r.code,
    r.problem,
    r.surveyRef ?? '',
  ])
  return `${Papa.unparse(table, { newline: '\r\n', escapeFormulae: /^(?![+-]?[\d.,]+$)[=+\-@\t\r]/ })}\r\n`
}
