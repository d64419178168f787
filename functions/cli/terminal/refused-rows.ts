import { counted, printable } from './words.ts'

interface RefusedLike {
  row: number | null
  column?: string | null | undefined
  value?: string | null | undefined
  code: string
  problem: string
}

/** `row 17, resistance_ohm "abc": problem`; a whole file has no row. */
function refusedLine({ row, column, value, problem }: RefusedLike): string {
  const place = row === null ? 'whole file' : `row ${row}`
  const where = column ? `, ${printable(column)}` : ''
  const found = value ? ` "${printable(value).slice(0, 60)}"` : ''
  return `  ${place}${where}${found}: ${printable(problem)}`
}

/** How many are shown before they are only counted. */
const SHOWN_EACH = 5
const SHOWN_ALL = 20

/**
 * Refused rows for people: equal problems together, a few of each in full, the others counted, so that the one odd problem is not
 * buried under a thousand equal ones. Keeps a bounded number of rows, however many come.
 */
export interface RefusedGroups {
  add(row: RefusedLike): void
  total: number
  lines(): string[]
}

export function createRefusedGroups(): RefusedGroups {
  const groups = new Map<string, { shown: string[]; count: number }>()
  return {
    total: 0,
    add(row) {
      this.total++
      const key = `${row.code}\n${row.column ?? ''}`
      const group = groups.get(key) ?? { shown: [], count: 0 }
      groups.set(key, group)
      group.count++
      if (group.shown.length < SHOWN_ALL) group.shown.push(refusedLine(row))
    },
    lines() {
      const each = groups.size === 1 ? SHOWN_ALL : SHOWN_EACH
      return [...groups].flatMap(([key, { shown, count }]) => {
        const [code, column] = key.split('\n')
        const more = count - Math.min(each, shown.length)
        const like = `${code}${column ? ` in ${printable(column)}` : ''}`
        return [
          ...shown.slice(0, each),
          ...(more > 0 ? [`  and ${counted(more, 'more row')} like this (${like})`] : []),
        ]
      })
    },
  }
}
