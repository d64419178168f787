import Papa from 'papaparse'
import { type Catalogue, isRemarkColumn, type KnownColumn, plainHeading } from './catalogue.ts'
import type { CellReading } from './cells.ts'
import type { ColumnMap, MappedColumn } from './column-map.ts'
import { type Delimiter, isBlank } from './csv-rows.ts'
import { datePatternOf } from './date-pattern.ts'
import { type Refused, refusedFile, shortValue } from './refused.ts'
import { readUnit } from './units.ts'

/** One column of a file that is understood. */
export interface Column extends KnownColumn {
  /** Place in the row, from 0. */
  index: number
  /** The heading as it stands in the file. */
  heading: string
  /** What the column map says about its cells. */
  mapped?: Pick<CellReading, 'decimalSign' | 'datePattern'>
}

export interface Header {
  delimiter: Delimiter
  /** Row number of the heading row. */
  row: number
  headings: string[]
  columns: Column[]
  /** Headings that mean nothing here, each once. */
  unknownColumns: string[]
}

const MOST_COLUMNS = 2000

const DELIMITERS: readonly Delimiter[] = [',', ';', '\t']

/** The first row with content; a spreadsheet's `sep=;` line before it is passed over. */
function firstRow(head: string, delimiter: Delimiter): { row: number; cells: string[] } | null {
  const parser = new Papa.Parser({ delimiter, newline: '\n', quoteChar: '"', preview: 100 })
  const { data } = parser.parse(head, 0, false) as { data: string[][] }
  const at = data.findIndex((cells) => !isBlank(cells) && !/^sep=.?$/i.test(cells.join(delimiter).trim()))
  return at < 0 ? null : { row: at + 1, cells: data[at]! }
}

interface Lookup {
  find(heading: string): (KnownColumn & Pick<Column, 'mapped'>) | null
}

function mappedColumn(
  mapped: MappedColumn,
  catalogue: Catalogue,
): { column: KnownColumn & Pick<Column, 'mapped'> } | { reason: string } {
  const known = catalogue.find(mapped.field)
  if (!known) return { reason: `there is no field “${mapped.field}”` }
  const column: KnownColumn & Pick<Column, 'mapped'> = { ...known }
  if (mapped.unit !== undefined) {
    if (known.field.type !== 'number') return { reason: `“${mapped.field}” has no unit` }
    if (!readUnit(mapped.unit, known.field.unit).ok)
      return { reason: `the unit “${mapped.unit}” does not fit “${mapped.field}”` }
    column.unit = mapped.unit
  }
  const { decimalSign } = mapped
  const datePattern = mapped.datePattern === undefined ? null : datePatternOf(mapped.datePattern)
  if (decimalSign !== undefined || datePattern)
    column.mapped = { ...(decimalSign && { decimalSign }), ...(datePattern && { datePattern }) }
  return { column }
}

/** The map's own headings first, then the names of the contract. */
function lookupOf(catalogue: Catalogue, map: ColumnMap | undefined): Lookup | { reason: string } {
  const own = new Map<string, KnownColumn & Pick<Column, 'mapped'>>()
  for (const entry of map?.columns ?? []) {
    const plain = plainHeading(entry.heading)
    if (own.has(plain)) return { reason: `the heading “${entry.heading}” stands there twice` }
    const found = mappedColumn(entry, catalogue)
    if ('reason' in found) return found
    own.set(plain, found.column)
  }
  return { find: (heading) => own.get(plainHeading(heading)) ?? catalogue.find(heading) }
}

const sameColumn = ({ key, level, percent }: KnownColumn) => `${level} ${key} ${percent ?? ''}`

function columnsOf(
  headings: readonly string[],
  lookup: Lookup,
  catalogue: Catalogue,
): { columns: Column[]; unknownColumns: string[] } | Refused {
  const columns = new Map<string, Column>()
  const unknown = new Set<string>()
  for (const [index, text] of headings.entries()) {
    const heading = text.trim()
    if (catalogue.isMegohm(heading))
      return { ...refusedFile('megohm', { name: heading }), column: shortValue(heading) }
    const known = lookup.find(heading)
    if (!known) {
      if (heading !== '' && !isRemarkColumn(heading)) unknown.add(shortValue(heading))
      continue
    }
    const twin = columns.get(sameColumn(known))
    if (twin) {
      const detail = `“${shortValue(twin.heading)}” and “${shortValue(heading)}”`
      return { ...refusedFile('column-twice', { detail }), column: shortValue(heading) }
    }
    columns.set(sameColumn(known), { ...known, index, heading })
  }
  return { columns: [...columns.values()], unknownColumns: [...unknown] }
}

/**
 * Finds the heading row and the separator: the one of `,` `;` tab with which most headings are known. Only the names of the
 * contract and of the column map count; nothing is matched by likeness.
 * @param head the beginning of the file's text, the heading row whole in it
 */
export function readHeader(head: string, catalogue: Catalogue, map?: ColumnMap): Header | Refused {
  const lookup = lookupOf(catalogue, map)
  if ('reason' in lookup) return refusedFile('bad-column-map', { detail: lookup.reason })
  let best: { delimiter: Delimiter; row: number; cells: string[]; known: number } | null = null
  for (const delimiter of DELIMITERS) {
    const first = firstRow(head, delimiter)
    if (!first) continue
    const known = first.cells.filter((heading) => lookup.find(heading)).length
    if (!best || known > best.known) best = { delimiter, ...first, known }
  }
  if (!best) return refusedFile('empty-file')
  if (best.cells.length > MOST_COLUMNS)
    return refusedFile('too-many-columns', { detail: String(MOST_COLUMNS) })
  const found = columnsOf(best.cells, lookup, catalogue)
  if ('kind' in found) return found
  return { delimiter: best.delimiter, row: best.row, headings: best.cells, ...found }
}
