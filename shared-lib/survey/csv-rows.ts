import Papa from 'papaparse'

/**
 * Rows of a CSV file with their true numbers, from text that arrives in pieces. PapaParse finds the cells: its own parser is given
 * what has arrived so far and told to leave the last row alone, as its own file reader does, so memory holds one piece and one row.
 */

export interface CsvRow {
  /** As a spreadsheet counts: first row 1, blank lines counted, a quoted line break inside its row. */
  row: number
  cells: string[]
  /** A quotation mark stands inside a quoted cell: the cells cannot be trusted. */
  quotesBroken?: true
}

export type RowTrouble = { code: 'record-too-long' | 'quotes-open'; row: number }

/** Parse again only when this much new text has come: keeps tiny pieces from costing a parse each. */
const PIECE_CHARACTERS = 64 * 1024

export const MOST_RECORD_CHARACTERS = 1024 * 1024

export interface RowReader {
  /** Rows that are complete now. After a trouble no more text is taken. */
  push(text: string): { rows: CsvRow[] } | { trouble: RowTrouble }
  end(): { rows: CsvRow[] } | { trouble: RowTrouble }
}

interface Parsed {
  data: string[][]
  errors: { code: string; row?: number }[]
  meta: { cursor: number }
}

export type Delimiter = ',' | ';' | '\t'

/** @param delimiter known beforehand (header.ts finds it); PapaParse's own guess misreads decimal commas. */
export function createRowReader(delimiter: Delimiter): RowReader {
  let arrived = ''
  let rest = ''
  let next = 1

  function parse(piece: string, last: boolean): { rows: CsvRow[] } | { trouble: RowTrouble } {
    const text = rest + piece
    // The parser is stateless between calls: a new one costs nothing and keeps no old text alive.
    const parser = new Papa.Parser({ delimiter, newline: '\n', quoteChar: '"' })
    const { data, errors, meta } = parser.parse(text, 0, !last) as Parsed
    rest = last ? '' : text.slice(meta.cursor)
    const rows: CsvRow[] = []
    for (const cells of data) rows.push({ row: next++, cells })
    for (const { code, row: index = 0 } of errors) {
      const at = rows[index]
      // Not among the finished rows: it is the one still waiting, and is judged when it is complete.
      if (!at) continue
      // The cell ran over a line end looking for its closing mark: rows may have been swallowed, so nothing is safe.
      if (code === 'MissingQuotes' || at.cells.some((cell) => cell.includes('\n')))
        return { trouble: { code: 'quotes-open', row: at.row } }
      at.quotesBroken = true
    }
    if (rest.length > MOST_RECORD_CHARACTERS) return { trouble: { code: 'record-too-long', row: next } }
    return { rows }
  }

  return {
    push(text) {
      arrived += text
      const rows: CsvRow[] = []
      // Pieces of one size, however the text arrived: the outcome cannot depend on how a file was cut.
      let from = 0
      for (; arrived.length - from >= PIECE_CHARACTERS; from += PIECE_CHARACTERS) {
        const parsed = parse(arrived.slice(from, from + PIECE_CHARACTERS), false)
        if ('trouble' in parsed) return parsed
        for (const row of parsed.rows) rows.push(row)
      }
      arrived = arrived.slice(from)
      return { rows }
    },
    end: () => parse(arrived, true),
  }
}

/** A row without any content; spreadsheets export many. */
export const isBlank = (cells: readonly string[]): boolean => cells.every((cell) => cell.trim() === '')
