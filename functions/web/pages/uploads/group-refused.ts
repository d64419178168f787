import type { RefusedRow } from '../../../../shared-lib/ledger/kept/upload.ts'

/** The same cell content refused for the same reason in the same column: one thing to mend, however many rows it stands in. */
export interface RefusedValue {
  value: string | null
  rows: number[]
  surveyRefs: string[]
  /** Stands for the group in a form. */
  key: string
}

/** Equal errors: one column, one reason. */
export interface RefusedGroup {
  code: string
  column: string | null
  /** The sentence for the first of them. */
  problem: string
  cells: number
  values: RefusedValue[]
}

/** A key that names column, reason and content; the same for the same refusal whenever it is asked for. */
export const refusalKey = (r: Pick<RefusedRow, 'code' | 'column' | 'value'>): string =>
  JSON.stringify([r.code, r.column, r.value])

/** Refused cells by equal errors, the most frequent first; within one the contents, the most frequent first. */
export function groupRefused(refused: readonly RefusedRow[]): RefusedGroup[] {
  const groups = Map.groupBy(refused, (r) => JSON.stringify([r.code, r.column]))
  return [...groups.values()]
    .map((own) => {
      const values = [...Map.groupBy(own, refusalKey)].map(([key, cells]) => ({
        key,
        value: cells[0]!.value,
        rows: cells.flatMap((c) => c.row ?? []),
        surveyRefs: [...new Set(cells.flatMap((c) => c.surveyRef ?? []))],
      }))
      const { code, column, problem } = own[0]!
      return {
        ...{ code, column, problem, cells: own.length },
        values: values.sort((a, b) => b.rows.length - a.rows.length),
      }
    })
    .sort((a, b) => b.cells - a.cells)
}
