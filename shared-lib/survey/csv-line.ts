import Papa from 'papaparse'
import { TO_GUARD } from './formula-guard.ts'

/** Rows end as spreadsheets expect. */
const CSV_LINE_END = '\r\n'

/** One row of CSV with its line end. Text that a spreadsheet would run as a formula is guarded; numbers stay numbers. */
export const csvLine = (cells: readonly (string | number | null | undefined)[]): string =>
  Papa.unparse([cells], { escapeFormulae: TO_GUARD, newline: CSV_LINE_END }) + CSV_LINE_END
