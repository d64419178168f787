import * as fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { type CompactTest, compactTest } from '../../shared-lib/history/compact-test.ts'
import { columnOf, valuesOf } from '../../shared-lib/ledger/columns.ts'
import { historyOf, packTests, unpackTests } from '../../shared-lib/ledger/site-history.ts'
import { squeezed } from '../../shared-lib/ledger/squeeze.ts'
import { testColumns, testsOfColumns } from '../../shared-lib/ledger/test-columns.ts'

const asStored = <T>(value: T): T => JSON.parse(JSON.stringify(value)) as T
/** Two decimals of a display, nine digits of a result, instants, and whatever a float may be. */
const number = fc.oneof(
  fc.integer({ min: -100_000, max: 100_000 }).map((n) => n / 100),
  fc
    .double({ noNaN: true, noDefaultInfinity: true, min: 1e-6, max: 1e6 })
    .map((n) => Number(n.toPrecision(9))),
  fc.integer({ min: 0, max: 30_000_000 }).map((minutes) => minutes * 60_000),
  fc.double({ noNaN: true, noDefaultInfinity: true }).map((n) => n + 0),
)
const value = fc.oneof(
  number,
  fc.constant(null),
  fc.string({ unit: 'binary', maxLength: 6 }),
  fc.record({ note: fc.string({ maxLength: 3 }) }),
)
const column = fc.oneof(
  fc.array(number, { maxLength: 30 }),
  fc.array(fc.oneof(number, fc.constant(null)), { maxLength: 30 }),
  fc.array(fc.oneof(fc.string({ unit: 'binary', maxLength: 6 }), fc.constant(null)), { maxLength: 30 }),
  fc.array(value, { maxLength: 30 }),
)

describe('one field of many tests, kept as a column', () => {
  it('gives every value again, whatever they are', () => {
    fc.assert(
      fc.property(column, (values) => {
        expect(valuesOf(asStored(columnOf(values)), values.length)).toEqual(asStored(values))
      }),
      { numRuns: 2000 },
    )
  })

  it('keeps steady dates and references as short steps', () => {
    const days = Array.from({ length: 5 }, (_, i) => Date.UTC(2020, 0, 1 + 90 * i))
    expect(columnOf(days)).toEqual([0, 7_776_000_000, days[0], 1, 1, 1, 1])
    expect(columnOf(['S-8', 'S-9', 'S-10'])).toEqual(['~', [0, 1, 0, 1, 0], 'S-8', '9', '10'])
    expect(columnOf([9.31, 9.42, null, 9.4])).toEqual([2, 1, 931, 11, null, -2])
  })
})

describe('tests kept by field', () => {
  const row = fc
    .tuple(
      fc.array(fc.array(fc.oneof(number, fc.constant(null)), { maxLength: 6 }).map(trimmed), {
        maxLength: 12,
      }),
      fc.array(value, { minLength: 1, maxLength: 23 }).map(trimmed),
    )
    .filter(([, fields]) => fields.length > 0)
    .map(([readings, fields]) => [readings, ...fields] as CompactTest)

  it('are the same tests again, with any number of readings and fields', () => {
    fc.assert(
      fc.property(fc.array(row, { maxLength: 20 }), (tests) => {
        expect(testsOfColumns(asStored(testColumns(tests)))).toEqual(asStored(tests))
      }),
      { numRuns: 500 },
    )
  })

  it('are read also where schema version 2 had kept them one by one', () => {
    const electrode = { electrodeId: 'E-1', siteId: 'S' }
    const rows: CompactTest[] = [
      [
        [
          [0.52, 9.3],
          [0.62, 9.42],
        ],
        1,
        'S-1',
        Date.UTC(2024, 3, 2),
        9.42,
        0.3,
        25,
        30,
        0,
        0,
        0,
        0,
        0,
      ],
      [[], 0, 'S-2', Date.UTC(2025, 3, 2), null, null, null, null, 0, 0, 1, 2, 3],
    ]
    const own: [number, number, number, string][] = [[0, 1, 0.9, 'digest']]
    const known = unpackTests([[rows[0]!, own], rows[1]!], electrode)
    expect(known.map((k) => k.test.surveyRef)).toEqual(['S-1', 'S-2'])
    expect(known.map((k) => k.own.length)).toEqual([1, 0])
    expect(known.map((k) => compactTest(k.test))).toEqual(rows)
    expect(unpackTests(asStored(packTests(known)), electrode)).toEqual(known)
    const rest = { electrode: { ...electrode, kind: 'rod' }, works: [], decisions: [], series: [] }
    const history = historyOf(JSON.stringify([[[rows[0], own], rows[1]], rest]))
    expect(history.tests).toEqual(known)
    expect(unpackTests([], electrode)).toEqual([])
  })

  it('of a rod tested sixty times fit into one kilobyte', () => {
    const tests = Array.from({ length: 60 }, (_, n): CompactTest => {
      const ohm = (share: number) =>
        Number((9 + share + 0.3 * Math.sin(n) + 0.05 * Math.sin(7 * n)).toFixed(2))
      const readings = [0.52, 0.62, 0.72].map((share) => [30 * share, ohm(share)])
      const result = Number((ohm(0.62) * 1.00123).toPrecision(9))
      const testedAtMs = Date.UTC(2010, 3 * n, 1 + ((5 * n) % 27), 9)
      const uncertaintyOhm = Number((0.06 * result).toPrecision(9))
      return [readings, 1, `S-${n}`, testedAtMs, result, uncertaintyOhm, 25, 30, 0, 0, 0, 0, 0, 'I-3']
    })
    expect(squeezed(JSON.stringify(testColumns(tests))).byteLength).toBeLessThan(1024)
  })
})

function trimmed<T>(row: T[]): T[] {
  const end = row.findLastIndex((v) => v !== null)
  return row.slice(0, end + 1)
}
