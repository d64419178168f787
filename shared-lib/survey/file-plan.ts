import type { CellReading } from './cells.ts'
import type { ColumnMap } from './column-map.ts'
import type { Delimiter } from './csv-rows.ts'
import { datePatternOf } from './date-pattern.ts'
import type { Encoding } from './decode.ts'
import type { Column, Header } from './header.ts'
import type { DecimalSign } from './numbers.ts'
import type { RowCounts } from './row-counts.ts'

/** What the upload declares about its file, beside the file itself. */
export interface ReadOptions {
  decimalSign?: DecimalSign | undefined
  /** Pattern of dates that are not ISO 8601, as `DD/MM/YYYY HH:mm`. */
  datePattern?: string | undefined
  columnMap?: ColumnMap | undefined
  /** IANA zone of an electrode, or of a site where there is no electrode; undefined = UTC. */
  timeZoneOf?: ((electrodeId: string) => string | undefined) | undefined
  timeZoneOfSite?: ((siteId: string) => string | undefined) | undefined
}

export interface PlannedColumn extends Column {
  reading: CellReading
}

/** The columns by what they belong to. */
export interface Layout {
  items: PlannedColumn[]
  long: PlannedColumn[]
  wide: PlannedColumn[]
  /** Every column but the wide ones, by key. */
  columnOf: ReadonlyMap<string, PlannedColumn>
}

export function layoutOf(columns: readonly PlannedColumn[]): Layout {
  const at = (wanted: PlannedColumn['level']) => columns.filter(({ level }) => level === wanted)
  const items = at('item')
  const long = at('reading')
  const columnOf = new Map([...items, ...long].map((column) => [column.key, column]))
  return { items, long, wide: at('wide'), columnOf }
}

/** What a first look through the whole file settled; reading follows it and decides nothing anew. */
export interface FilePlan {
  encoding: Encoding
  delimiter: Delimiter
  headerRow: number
  headings: string[]
  columns: PlannedColumn[]
  layout: Layout
  unknownColumns: string[]
  form: 'long' | 'wide'
  /** Declared, or shown by the file; undefined where neither. */
  decimalSign: DecimalSign | undefined
  /** Rows with content, the heading not counted. */
  rows: number
  /** Rows of each survey by its reference; its `size` is the number of surveys. */
  counts: RowCounts
}

/** Columns with all that is known about their cells. */
export function planColumns(
  header: Header,
  settled: DecimalSign | undefined,
  options: ReadOptions,
): PlannedColumn[] {
  const datePattern = options.datePattern ?? options.columnMap?.datePattern
  const common: CellReading = { pointDoubtful: header.delimiter === ';' }
  if (settled !== undefined) common.decimalSign = settled
  const pattern = datePattern === undefined ? null : datePatternOf(datePattern)
  if (pattern) common.datePattern = pattern
  return header.columns.map((column) => {
    const reading: CellReading = { ...common, ...column.mapped }
    if (column.unit !== undefined) reading.unit = column.unit
    return { ...column, reading }
  })
}

export const declaredDecimalSign = (options: ReadOptions): DecimalSign | undefined =>
  options.decimalSign ?? options.columnMap?.decimalSign
