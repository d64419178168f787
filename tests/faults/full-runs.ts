import { readFileSync } from 'node:fs'
import type { Figure } from './measured.ts'

/** One full run as it was written down. */
export type FullRun = Figure & { at: string; size: 'ci' | 'full'; tree?: string }

/** The newest full run of each kind, in the order of the table. */
export const FULL_RUNS = new URL('./full-runs.ndjson', import.meta.url)

export const readRuns = (file: URL | string): FullRun[] =>
  readFileSync(file, 'utf8')
    .split('\n')
    .filter((line) => line !== '')
    .map((line) => JSON.parse(line) as FullRun)

/** Runs before and after, one of each kind: the later one. */
export function newestOfEach(runs: readonly FullRun[]): FullRun[] {
  const newest = new Map<string, FullRun>()
  for (const run of runs) {
    const known = newest.get(run.what)
    if (!known || known.at <= run.at) newest.set(run.what, run)
  }
  return [...newest.values()].sort((a, b) => (a.what < b.what ? -1 : 1))
}

const cell = (text: string) => text.replaceAll('|', '\\|')

/** The table of DEVELOPERS.md, in columns as the formatter sets them. */
export function figuresTable(runs: readonly FullRun[]): string {
  const rows = runs.map(({ what, count, bad, seed, notes, at, tree, command }) => {
    const none = Object.entries(bad).map(([name, n]) => `${name}: ${n}`)
    const again = `\`${seed === undefined ? '' : `STAKELINE_TEST_SEED=${seed} `}${command}\``
    const when = `${at.slice(0, 10)}${tree === undefined ? '' : ` on ${tree}`}`
    const more = [notes ?? '', when].filter((part) => part !== '').join('; ')
    return [what, String(count), none.join(', '), again, more].map(cell)
  })
  const table = [['tried', 'how often', 'must be none', 'again', 'more'], ...rows]
  const widths = table[0]!.map((_, i) => Math.max(...table.map((row) => row[i]!.length)))
  const line = (cells: readonly string[]) => `| ${cells.map((c, i) => c.padEnd(widths[i]!)).join(' | ')} |`
  const [head = '', ...lines] = table.map(line)
  return [head, line(widths.map((width) => '-'.repeat(width))), ...lines].join('\n')
}

/** Everything that must be none and is not. */
export const notNone = (runs: readonly FullRun[]): string[] =>
  runs.filter(({ bad }) => Object.values(bad).some((n) => n > 0)).map(({ what }) => what)

const BEGINS = '<!-- made by npm run test:figures -->'
const ENDS = '<!-- until here -->'

/** A text with the table between its two marks. @throws where a mark is missing */
export function withTable(text: string, table: string): string {
  const from = text.indexOf(BEGINS)
  const to = text.indexOf(ENDS)
  if (from < 0 || to < from) throw new Error(`${BEGINS} and ${ENDS} must stand in the text`)
  return `${text.slice(0, from + BEGINS.length)}\n\n${table}\n\n${text.slice(to)}`
}
