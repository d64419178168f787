import { mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import type { Line } from './measured.ts'

/** What the full runs measured, one small file each, kept beside the tests; the table of DEVELOPERS.md is made from them. */
const FOLDER = join(import.meta.dirname, 'records')
const BEGIN = '<!-- figures: written by `npm run test:figures` from tests/faults/records -->'
const END = '<!-- end of figures -->'

/** A file name for what was tried: the same words, the same file, so a newer run takes the place of the older. */
const fileOf = (what: string): string =>
  `${what
    .toLowerCase()
    .replaceAll(/[^a-z0-9]+/g, '-')
    .slice(0, 60)
    .replaceAll(/^-|-$/g, '')}.json`

/** Every record, in the order of what was tried. */
export function readRecords(): Line[] {
  return readdirSync(FOLDER)
    .filter((name) => name.endsWith('.json'))
    .sort()
    .map((name) => JSON.parse(readFileSync(join(FOLDER, name), 'utf8')) as Line)
}

export function keepRecord(line: Line): void {
  mkdirSync(FOLDER, { recursive: true })
  writeFileSync(join(FOLDER, fileOf(line.what)), `${JSON.stringify(line, null, 2)}\n`)
}

/** How much of what must be none there was. */
export const wrongIn = ({ bad }: Pick<Line, 'bad'>): number =>
  Object.values(bad).reduce((sum, n) => sum + n, 0)

const cell = (text: string) => text.replaceAll('|', '\\|')

/** The records as a table, each with what repeats it. */
export function tableOf(records: readonly Line[]): string {
  const rows = records.map(({ what, count, bad, seed, notes, at, commit, command }) => {
    const none = Object.entries(bad).map(([name, n]) => `${name}: ${n}`)
    const again = seed === undefined ? command : `STAKELINE_TEST_SEED=${seed} ${command}`
    const columns = [
      what,
      String(count),
      none.join(', '),
      notes ?? '',
      `\`${again}\``,
      `${at.slice(0, 10)}, ${commit}`,
    ]
    return `| ${columns.map(cell).join(' | ')} |`
  })
  return [
    '| tried | how often | must be none | more | again | when, at which commit |',
    '| ----- | --------- | ------------ | ---- | ----- | --------------------- |',
    ...rows,
  ].join('\n')
}

/** What stands between the markers of a document; null without markers. */
export function tableIn(document: string): string | null {
  const [begin, end] = [document.indexOf(BEGIN), document.indexOf(END)]
  return begin < 0 || end < begin ? null : document.slice(begin + BEGIN.length, end).trim()
}

/** The document with the table between its markers. @throws when it has none */
export function withTable(document: string, table: string): string {
  const old = tableIn(document)
  if (old === null) throw new Error(`the document has no place for the table: ${BEGIN} and ${END}`)
  const [begin, end] = [document.indexOf(BEGIN) + BEGIN.length, document.indexOf(END)]
  return `${document.slice(0, begin)}\n\n${table}\n\n${document.slice(end)}`
}
