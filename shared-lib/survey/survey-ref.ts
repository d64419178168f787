import { cleanText } from './cells.ts'
import { withoutGuard } from './formula-guard.ts'
import type { Column } from './header.ts'

/** Which survey a row belongs to. Both looks through a file use this, so that they agree. */
export interface RefTracker {
  /**
   * The row's survey reference: its own, or that of the row above where this row names nothing of its survey at all (a sheet with
   * merged cells: the row is refused, and that survey with it); empty where it belongs to none. Null for a heading row repeated inside the file.
   */
  next(cells: readonly string[]): string | null
}

const PLAIN = /^[A-Za-z0-9][\x20-\x7e]*$/

/** A reference as it is stored. */
function cleanRef(cell: string): string {
  const trimmed = cell.trim()
  return PLAIN.test(trimmed) ? trimmed : withoutGuard(cleanText(trimmed))
}

export function createRefTracker(header: {
  headings: readonly string[]
  columns: readonly Column[]
}): RefTracker {
  const { headings, columns } = header
  const refAt = columns.find(({ key }) => key === 'surveyRef')?.index ?? -1
  const itemAt = columns.filter(({ level }) => level === 'item').map(({ index }) => index)
  const refHeading = headings[refAt]
  let above = ''

  return {
    next(cells) {
      const cell = cells[refAt] ?? ''
      if (cell === refHeading && headings.every((heading, i) => heading === (cells[i] ?? ''))) {
        above = ''
        return null
      }
      const ref = cleanRef(cell)
      if (ref !== '') above = ref
      else if (!itemAt.every((index) => (cells[index] ?? '').trim() === '')) above = ''
      return above
    },
  }
}
