import {
  CALIBRATION_CATALOGUE,
  type Catalogue,
  ELECTRODE_CATALOGUE,
  LIMIT_CATALOGUE,
  WORK_CATALOGUE,
} from './catalogue.ts'
import { readCell } from './cells.ts'
import { type CsvRow, createRowReader, isBlank } from './csv-rows.ts'
import type { Field } from './field-types.ts'
import { declaredDecimalSign, type PlannedColumn, planColumns, type ReadOptions } from './file-plan.ts'
import { type Header, readHeader } from './header.ts'
import { type DecimalSign, decimalSignShown } from './numbers.ts'
import { expectationOf } from './problems.ts'
import { type Refused, refusedAt, refusedFile } from './refused.ts'
import type { Calibration, Electrode, Limit, Work } from './register.ts'
import { CALIBRATION_FIELDS, ELECTRODE_FIELDS, LIMIT_FIELDS, WORK_FIELDS } from './register-fields.ts'
import { troubleRefused } from './scan.ts'
import { type OpenSource, plainText, sniffSource, textOf } from './source.ts'

/** The register's tables from CSV: one row an entry. Tables are small beside surveys and are held whole. */
interface RegisterTable<T> {
  items: T[]
  refused: Refused[]
  unknownColumns: string[]
}

interface Table {
  catalogue: Catalogue
  fields: Readonly<Record<string, Field>>
  needed: readonly string[]
  /** Entries with the same values here are the same entry. */
  key: readonly string[]
}

const ELECTRODES: Table = {
  catalogue: ELECTRODE_CATALOGUE,
  fields: ELECTRODE_FIELDS,
  needed: ['electrodeId', 'siteId', 'kind'],
  key: ['electrodeId'],
}
const LIMITS: Table = {
  catalogue: LIMIT_CATALOGUE,
  fields: LIMIT_FIELDS,
  needed: ['electrodeId', 'purpose', 'limitOhm'],
  key: ['electrodeId', 'purpose', 'appliesTo', 'validFrom'],
}
const CALIBRATIONS: Table = {
  catalogue: CALIBRATION_CATALOGUE,
  fields: CALIBRATION_FIELDS,
  needed: ['instrumentId', 'calibratedOn'],
  key: ['instrumentId', 'calibratedOn'],
}
const WORKS: Table = {
  catalogue: WORK_CATALOGUE,
  fields: WORK_FIELDS,
  needed: ['electrodeId', 'doneOn', 'what'],
  key: ['electrodeId', 'doneOn', 'what'],
}

type Values = Record<string, string | number>

function settledSign(rows: readonly CsvRow[], header: Header, options: ReadOptions): DecimalSign | undefined {
  const declared = declaredDecimalSign(options)
  if (declared) return declared
  const signs = new Set<DecimalSign>()
  for (const { index, field, mapped } of header.columns) {
    if (field.type !== 'number' || mapped?.decimalSign) continue
    for (const { cells } of rows) {
      const sign = decimalSignShown(cells[index] ?? '')
      if (sign) signs.add(sign)
    }
  }
  return signs.size === 1 ? [...signs][0] : undefined
}

function readEntry(
  row: CsvRow,
  columns: readonly PlannedColumn[],
  table: Table,
  width: number,
): Values | Refused[] {
  const refused: Refused[] = []
  const values: Values = {}
  if (row.quotesBroken) refused.push(refusedAt({ row: row.row }, 'quotes-broken'))
  if (row.cells.slice(width).some((cell) => cell.trim() !== ''))
    refused.push(refusedAt({ row: row.row }, 'too-many-cells', { detail: 'separator' }))
  for (const { index, key, heading, field, reading } of columns) {
    const cell = row.cells[index]?.trim() ?? ''
    const at = { row: row.row, column: heading, value: cell }
    const expected = expectationOf(field)
    if (cell === '') {
      if (table.needed.includes(key)) refused.push(refusedAt(at, 'missing-value', { expected }))
      continue
    }
    const read = readCell(cell, field, reading)
    if (read.kind === 'value') values[key] = read.value
    else refused.push(refusedAt(at, read.kind === 'refused' ? read.code : 'over-range-here', { expected }))
  }
  return refused.length > 0 ? refused : values
}

/** Says the same entry twice: once is enough. Says it otherwise: the later is refused. */
function readEntries<T>(
  rows: readonly CsvRow[],
  header: Header,
  table: Table,
  options: ReadOptions,
): RegisterTable<T> {
  const columns = planColumns(header, settledSign(rows, header, options), options)
  const items: T[] = []
  const refused: Refused[] = []
  const seen = new Map<string, { text: string; row: number }>()
  for (const row of rows) {
    const entry = readEntry(row, columns, table, header.headings.length)
    if (Array.isArray(entry)) {
      refused.push(...entry)
      continue
    }
    const key = JSON.stringify(table.key.map((name) => entry[name] ?? null))
    const text = JSON.stringify(entry)
    const earlier = seen.get(key)
    if (!earlier) {
      seen.set(key, { text, row: row.row })
      items.push(entry as unknown as T)
    } else if (earlier.text !== text) {
      const column = columns.find((candidate) => candidate.key === table.key[0])?.heading ?? null
      const at = { row: row.row, column, value: String(entry[table.key[0]!]) }
      refused.push(refusedAt(at, 'duplicate-entry', { detail: `row ${earlier.row}` }))
    }
  }
  return { items, refused, unknownColumns: header.unknownColumns }
}

const none = <T>(refused: Refused): RegisterTable<T> => ({
  items: [],
  refused: [refused],
  unknownColumns: [],
})

function readText<T>(text: string, table: Table, options: ReadOptions): RegisterTable<T> {
  const header = readHeader(text, table.catalogue, options.columnMap)
  if ('kind' in header) return none(header)
  const missing = table.needed.filter((key) => !header.columns.some((column) => column.key === key))
  if (missing.length > 0) {
    const names = missing.map((key) => table.fields[key]!.column).join(', ')
    const detail = `the column${missing.length > 1 ? 's' : ''} ${names}`
    return none({ ...refusedFile('columns-missing', { detail }), column: names })
  }
  const reader = createRowReader(header.delimiter)
  const rows: CsvRow[] = []
  for (const result of [reader.push(text), reader.end()]) {
    if ('trouble' in result) return none(troubleRefused(result.trouble))
    for (const row of result.rows) if (row.row > header.row && !isBlank(row.cells)) rows.push(row)
  }
  return readEntries<T>(rows, header, table, options)
}

async function readTable<T>(
  source: OpenSource | string,
  table: Table,
  options: ReadOptions,
): Promise<RegisterTable<T>> {
  if (typeof source === 'string') return readText(plainText(source), table, options)
  const sniffed = await sniffSource(source)
  if (!sniffed.ok) return none(refusedFile('not-a-csv', { detail: sniffed.what }))
  for (const encoding of sniffed.encoding === 'utf-8'
    ? ([sniffed.encoding, 'windows-1252'] as const)
    : [sniffed.encoding]) {
    let whole: string | null = ''
    for await (const text of textOf(source, encoding)) {
      whole = text === null ? null : whole + text
      if (whole === null) break
    }
    if (whole !== null) return readText(whole, table, options)
  }
  return none(refusedFile('bad-encoding'))
}

type ReadTable<T> = (source: OpenSource | string, options?: ReadOptions) => Promise<RegisterTable<T>>

/** The register of electrodes. A refused row is left out, the others stand. The source is bytes, opened anew as needed, or text. */
export const readElectrodes: ReadTable<Electrode> = (source, options = {}) =>
  readTable(source, ELECTRODES, options)
/** The limits table. */
export const readLimits: ReadTable<Limit> = (source, options = {}) => readTable(source, LIMITS, options)
/** The instruments table: one row a calibration. */
export const readCalibrations: ReadTable<Calibration> = (source, options = {}) =>
  readTable(source, CALIBRATIONS, options)
/** The works table. */
export const readWorks: ReadTable<Work> = (source, options = {}) => readTable(source, WORKS, options)
