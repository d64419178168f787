/** Text of a CSV file. */

export type Cell = string | number | undefined

/** How a file is written. */
export interface CsvStyle {
  separator: ',' | ';'
  decimal: '.' | ','
}

export const PLAIN: CsvStyle = { separator: ',', decimal: '.' }

function written(cell: Cell, style: CsvStyle): string {
  if (cell === undefined) return ''
  const text = typeof cell === 'number' ? String(cell).replace('.', style.decimal) : cell
  return text.includes(style.separator) || /["\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text
}

/** Heading row and rows, each ended by a line feed. */
export function csvText(
  headings: readonly string[],
  rows: readonly (readonly Cell[])[],
  style = PLAIN,
): string {
  return [headings, ...rows]
    .map((row) => `${row.map((cell) => written(cell, style)).join(style.separator)}\n`)
    .join('')
}

/** One row an item, one column a field of the catalogue, in its order. */
export function tableText<T extends object>(
  fields: Readonly<Record<string, { column: string }>>,
  items: readonly T[],
): string {
  const keys = Object.keys(fields)
  return csvText(
    keys.map((key) => fields[key]!.column),
    items.map((item) => keys.map((key) => (item as Record<string, Cell>)[key])),
  )
}
