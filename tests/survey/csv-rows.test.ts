import fc from 'fast-check'
import Papa from 'papaparse'
import { describe, expect, it } from 'vitest'
import { type CsvRow, createRowReader, MOST_RECORD_CHARACTERS } from '../../shared-lib/survey/csv-rows.ts'

function readAll(text: string, cut = text.length || 1) {
  const reader = createRowReader(',')
  const rows: CsvRow[] = []
  for (let at = 0; at <= text.length; at += cut) {
    const result = at === text.length ? { rows: [] } : reader.push(text.slice(at, at + cut))
    if ('trouble' in result) return result
    rows.push(...result.rows)
  }
  const last = reader.end()
  return 'trouble' in last ? last : { rows: [...rows, ...last.rows] }
}

describe('rows', () => {
  it('are numbered as a spreadsheet does: heading 1, blank lines counted, a quoted line break inside its row', () => {
    const read = readAll('a,b\n\n"x\ny\nz",1\n2,3\n')
    expect(read).toEqual({
      rows: [
        { row: 1, cells: ['a', 'b'] },
        { row: 2, cells: [''] },
        { row: 3, cells: ['x\ny\nz', '1'] },
        { row: 4, cells: ['2', '3'] },
        { row: 5, cells: [''] },
      ],
    })
  })

  it('are the same as PapaParse finds in the whole text, however long it is and however it is cut', () => {
    const cell = fc.oneof(fc.string({ maxLength: 8 }), fc.constantFrom('a"b', 'x,y', 'l\nm', '', ' "', 'é😀'))
    const table = fc.array(fc.array(cell, { minLength: 1, maxLength: 4 }), { minLength: 1, maxLength: 12 })
    fc.assert(
      fc.property(
        table,
        fc.integer({ min: 1, max: 4000 }),
        fc.integer({ min: 1, max: 99_999 }),
        (rows, times, cut) => {
          const clean = rows.map((cells) => cells.map((each) => each.replace(/\r/g, '')))
          const text = `${Papa.unparse(clean, { newline: '\n' })}\n`.repeat(times)
          const read = readAll(text, cut)
          if ('trouble' in read) throw new Error(read.trouble.code)
          const whole = new Papa.Parser({ delimiter: ',', newline: '\n' }).parse(text, 0, false) as {
            data: string[][]
          }
          expect(read.rows.map(({ cells }) => cells)).toEqual(whole.data)
          expect(read.rows.map(({ row }) => row)).toEqual(whole.data.map((_, i) => i + 1))
        },
      ),
      { numRuns: 60 },
    )
  })

  it('tell a quotation mark inside a quoted cell', () => {
    const read = readAll('a,b\n"3/4" rod",1\n2,3')
    expect(read).toMatchObject({ rows: [{ row: 1 }, { row: 2, quotesBroken: true }, { row: 3 }] })
  })

  it('stop at a quotation mark that is never closed: what follows cannot be trusted', () => {
    expect(readAll('a,b\n1,"2\n3,4\n5,6\n')).toEqual({ trouble: { code: 'quotes-open', row: 2 } })
    expect(readAll('a,b\n"3/4" rod,1\n2,"3"\n')).toEqual({ trouble: { code: 'quotes-open', row: 2 } })
  })

  it('stop at a row without end before it fills the memory', () => {
    const text = `a,b\n1,2\n"${'x'.repeat(3 * MOST_RECORD_CHARACTERS)}`
    expect(readAll(text, 10_000)).toEqual({ trouble: { code: 'record-too-long', row: 3 } })
  })
})
