import Papa from 'papaparse'
import type { RefusedRow } from '../../../../shared-lib/ledger/kept/upload.ts'
import { createRowReader, isBlank } from '../../../../shared-lib/survey/csv-rows.ts'
import type { FilePlan } from '../../../../shared-lib/survey/file-plan.ts'
import { TO_GUARD } from '../../../../shared-lib/survey/formula-guard.ts'
import { shortValue } from '../../../../shared-lib/survey/refused.ts'
import { type OpenSource, textOf } from '../../../../shared-lib/survey/source.ts'
import { createRefTracker } from '../../../../shared-lib/survey/survey-ref.ts'
import { refusalKey } from './group-refused.ts'

/** Rows of an uploaded file that belong to refused surveys, as they stand in the file. */

interface FileRow {
  row: number
  cells: string[]
}

/** Which rows are wanted: those of these surveys, and those that could be told to no survey. */
interface Wanted {
  refs: ReadonlySet<string>
  rows: ReadonlySet<number>
}

const wantedBy = (refused: readonly RefusedRow[]): Wanted => ({
  refs: new Set(refused.flatMap((r) => r.surveyRef ?? [])),
  rows: new Set(refused.flatMap((r) => r.row ?? [])),
})

async function* wantedRows(open: OpenSource, plan: FilePlan, wanted: Wanted): AsyncGenerator<FileRow> {
  const reader = createRowReader(plan.delimiter)
  const refs = createRefTracker(plan)
  function* keep(result: ReturnType<typeof reader.push>): Generator<FileRow> {
    if ('trouble' in result) return
    for (const { row, cells } of result.rows) {
      if (row <= plan.headerRow || isBlank(cells)) continue
      const ref = refs.next(cells)
      if (ref === null) continue
      if ((ref !== '' && wanted.refs.has(shortValue(ref))) || wanted.rows.has(row)) yield { row, cells }
    }
  }
  for await (const text of textOf(open, plan.encoding)) if (text !== null) yield* keep(reader.push(text))
  yield* keep(reader.end())
}

const REMARKS = ['remark_code', 'remark_column', 'remark_problem']

/**
 * The refused surveys whole, each row with what is wrong in it in three remark columns, which are passed over when the file comes
 * back. Text that a spreadsheet would run as a formula is guarded, and reading takes the guard off again.
 */
export async function* refusedSurveysCsv(
  open: OpenSource,
  plan: FilePlan,
  refused: readonly RefusedRow[],
): AsyncGenerator<string> {
  const csv = (cells: string[]) =>
    `${Papa.unparse([cells], { delimiter: plan.delimiter, escapeFormulae: TO_GUARD, newline: '\r\n' })}\r\n`
  const width = plan.headings.length
  yield `\uFEFF${csv([...plan.headings, ...REMARKS])}`
  const byRow = Map.groupBy(refused, (r) => r.row)
  for await (const { row, cells } of wantedRows(open, plan, wantedBy(refused))) {
    const said = byRow.get(row) ?? []
    const remarks = [
      said.map((r) => r.code).join(' | '),
      said.map((r) => r.column ?? '').join(' | '),
      said.map((r) => r.problem).join(' | '),
    ]
    const padded = Array.from({ length: width }, (_, i) => cells[i] ?? '')
    yield csv([...padded, ...remarks])
  }
}

export interface Mended {
  csv: string
  surveys: number
  rows: number
}

/**
 * A file of just the surveys something was mended in, with the mended cells in their places; null when nothing was mended. A column
 * that the file lacks is added. `fixes` are new contents by `refusalKey`: each goes to every row refused with that key.
 */
export async function mendRefused(
  open: OpenSource,
  plan: FilePlan,
  refused: readonly RefusedRow[],
  fixes: ReadonlyMap<string, string>,
): Promise<Mended | null> {
  const mended = refused.filter((r) => r.row !== null && r.column !== null && fixes.has(refusalKey(r)))
  if (mended.length === 0) return null
  const headings = [...plan.headings]
  const placeOf = (column: string): number => {
    const own = headings.findIndex((h) => h.trim() === column)
    const meant = plan.columns.find((c) => c.field.column === column && c.level !== 'wide')?.index
    return own >= 0 ? own : (meant ?? headings.push(column) - 1)
  }
  const places = new Map(mended.map((r) => [r.column!, placeOf(r.column!)]))
  const byRow = Map.groupBy(mended, (r) => r.row!)
  const lines: string[][] = [headings]
  for await (const { row, cells } of wantedRows(open, plan, wantedBy(mended))) {
    const line = headings.map((_, i) => cells[i] ?? '')
    for (const r of byRow.get(row) ?? []) line[places.get(r.column!)!] = fixes.get(refusalKey(r))!
    lines.push(line)
  }
  const surveys = new Set(mended.map((r) => r.surveyRef ?? `row ${r.row}`)).size
  const csv = Papa.unparse(lines, { delimiter: plan.delimiter, newline: '\r\n' })
  return { csv: `${csv}\r\n`, surveys, rows: lines.length - 1 }
}
