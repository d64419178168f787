import type { CompactTest } from '../history/compact-test.ts'
import { type Column, columnOf, valuesOf } from './columns.ts'

/**
 * Many tests by field instead of by test: how many, the readings' counts, each number of the readings (the first reading of every
 * test, then every second …), then each other field. A field that no test has is left out at the end. Sixty tests of an electrode
 * take less than a kilobyte when this is squeezed, half of what they take test by test.
 */
export type TestColumns = [] | [count: number, readings: Column, readingFields: Column[], fields: Column[]]

const largest = (counts: readonly number[]): number => counts.reduce((a, b) => Math.max(a, b), 0)
const isNothing = (column: Column): boolean => column[0] === '=' && column[1] === null

function withoutEmptyEnd(columns: Column[]): Column[] {
  while (columns.length > 0 && isNothing(columns.at(-1)!)) columns.pop()
  return columns
}

const columnsOf = (rows: readonly (readonly unknown[])[]): Column[] =>
  withoutEmptyEnd(
    Array.from({ length: largest(rows.map((r) => r.length)) }, (_, i) =>
      columnOf(rows.map((r) => r[i] ?? null)),
    ),
  )

function rowsOf(columns: readonly Column[], count: number): unknown[][] {
  const values = columns.map((c) => valuesOf(c, count))
  return Array.from({ length: count }, (_, nth) => {
    const row = values.map((v) => v[nth])
    while (row.length > 0 && row.at(-1) === null) row.pop()
    return row
  })
}

/** In which order the readings of all tests are kept: [test, reading]. */
function* places(counts: readonly number[]): Generator<[number, number]> {
  const most = largest(counts)
  for (let nth = 0; nth < most; nth++)
    for (const [test, count] of counts.entries()) if (nth < count) yield [test, nth]
}

export function testColumns(tests: readonly CompactTest[]): TestColumns {
  if (tests.length === 0) return []
  const readings = tests.map((t) => t[0] as unknown[][])
  const counts = readings.map((r) => r.length)
  const inOrder = [...places(counts)].map(([test, nth]) => readings[test]![nth]!)
  return [tests.length, columnOf(counts), columnsOf(inOrder), columnsOf(tests.map((t) => t.slice(1)))]
}

export function testsOfColumns(packed: TestColumns): CompactTest[] {
  if (packed.length === 0) return []
  const [count, readingCounts, readingFields, fields] = packed
  const counts = valuesOf(readingCounts, count) as number[]
  const order = [...places(counts)]
  const inOrder = rowsOf(readingFields, order.length)
  const readings: unknown[][][] = counts.map(() => [])
  for (const [i, [test]] of order.entries()) readings[test]!.push(inOrder[i]!)
  return rowsOf(fields, count).map((row, nth) => [readings[nth], ...row] as CompactTest)
}
