import Papa from 'papaparse'
import { SURVEY_CATALOGUE } from '../../../../shared-lib/survey/catalogue.ts'
import type { ColumnMap } from '../../../../shared-lib/survey/column-map.ts'
import type { Encoding } from '../../../../shared-lib/survey/decode.ts'
import { readHeader } from '../../../../shared-lib/survey/header.ts'
import { type OpenSource, sniffSource, textOf } from '../../../../shared-lib/survey/source.ts'

/** The top of a file as its columns are pointed at: headings with a few cells under each. Also for a file that cannot be read yet. */
export interface FileHead {
  encoding: Encoding | null
  delimiter: string
  headings: string[]
  /** Cells of the first rows after the headings, in the order of the headings. */
  samples: string[][]
}

const HEAD_CHARACTERS = 256 * 1024
const SAMPLE_ROWS = 3
const DELIMITERS = [',', ';', '\t']

/** Headings and first rows; the separator is the one that makes most of the headings known, else the one that makes most cells. */
export async function readFileHead(open: OpenSource, map: ColumnMap | undefined): Promise<FileHead> {
  const sniffed = await sniffSource(open)
  if (!sniffed.ok) return { encoding: null, delimiter: ',', headings: [], samples: [] }
  const first = await headText(open, sniffed.encoding)
  const encoding = first === null ? 'windows-1252' : sniffed.encoding
  const text = first ?? (await headText(open, encoding)) ?? ''
  const header = readHeader(text, SURVEY_CATALOGUE, map)
  const known = 'kind' in header || header.columns.length === 0 ? null : header.delimiter
  const tables = (known === null ? DELIMITERS : [known]).map((delimiter) => ({
    delimiter,
    rows: rowsOf(text, delimiter),
  }))
  const best = tables.reduce((a, b) => ((b.rows[0]?.length ?? 0) > (a.rows[0]?.length ?? 0) ? b : a))
  const [headings = [], ...samples] = best.rows
  return { encoding, delimiter: best.delimiter, headings, samples: samples.slice(0, SAMPLE_ROWS) }
}

/** Null where the bytes are not in the encoding. */
async function headText(open: OpenSource, encoding: Encoding): Promise<string | null> {
  let text = ''
  for await (const piece of textOf(open, encoding)) {
    if (piece === null) return null
    text += piece
    if (text.length >= HEAD_CHARACTERS) break
  }
  return text
}

function rowsOf(text: string, delimiter: string): string[][] {
  const { data } = Papa.parse<string[]>(text, { delimiter, newline: '\n', preview: 60 })
  const full = data.filter((cells) => cells.some((cell) => cell.trim() !== ''))
  return full.filter((cells) => !/^sep=.?$/i.test(cells.join(delimiter).trim())).slice(0, 1 + SAMPLE_ROWS)
}
