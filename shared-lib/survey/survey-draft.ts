import { type CellValue, readCell } from './cells.ts'
import type { CsvRow } from './csv-rows.ts'
import type { FilePlan, PlannedColumn } from './file-plan.ts'
import { expectationOf, type ProblemCode, type ProblemContext } from './problems.ts'
import { type Refused, refusedAt } from './refused.ts'

/** A row of one survey; rows with the same `run` stand together in the file. */
export interface SurveyRow extends CsvRow {
  run: number
}

const DELIMITER_NAMES = { ',': 'comma', ';': 'semicolon', '\t': 'tab' } as const

/** One survey in the making: its rows, what is read of them, what is refused. */
export function createDraft(surveyRef: string, rows: readonly SurveyRow[], plan: FilePlan) {
  const refused: Refused[] = []
  const told = new Set<string>()
  const { items, long, wide, columnOf } = plan.layout

  const cellOf = (row: SurveyRow, column: PlannedColumn): string => row.cells[column.index]?.trim() ?? ''

  function refuse(
    row: SurveyRow,
    column: PlannedColumn | undefined,
    code: ProblemCode,
    context: ProblemContext = {},
    name?: string,
  ): void {
    const heading = column?.heading ?? name ?? null
    const place = `${row.row} ${heading}`
    if (told.has(place)) return
    told.add(place)
    const value = column ? cellOf(row, column) : undefined
    refused.push(refusedAt({ row: row.row, column: heading, value, surveyRef }, code, context))
  }

  function read(row: SurveyRow, column: PlannedColumn, timeZone?: string): CellValue | null {
    const cell = cellOf(row, column)
    if (cell === '') return null
    const reading = timeZone === undefined ? column.reading : { ...column.reading, timeZone }
    const value = readCell(cell, column.field, reading)
    if (value.kind === 'refused') {
      const context: ProblemContext = { expected: expectationOf(column.field) }
      if (value.code === 'bad-time-zone') context.value = timeZone ?? cell
      refuse(row, column, value.code, context)
      return null
    }
    return value
  }

  return { surveyRef, rows, plan, refused, columnOf, items, long, wide, cellOf, refuse, read }
}

export type Draft = ReturnType<typeof createDraft>

/** What is wrong with a row before its cells are looked at. */
export function checkRows({ rows, plan, refuse, cellOf, columnOf }: Draft): void {
  const ref = columnOf.get('surveyRef')
  for (const row of rows) {
    if (ref && cellOf(row, ref) === '')
      refuse(row, ref, 'missing-value', { expected: 'the reference of its survey, in every row' })
    if (row.quotesBroken) refuse(row, undefined, 'quotes-broken')
    const extra = row.cells.length > plan.headings.length ? row.cells.slice(plan.headings.length) : []
    if (extra.some((cell) => cell.trim() !== ''))
      refuse(row, undefined, 'too-many-cells', { detail: DELIMITER_NAMES[plan.delimiter] })
  }
}
