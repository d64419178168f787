import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import type { Figure } from './measured.ts'

/**
 * `node tests/faults/figures-table.script.ts [FOLDER]`: the figures that the full runs have written down (default: coverage/figures),
 * as the table for DEVELOPERS.md, the newest of each kind. Exit 1 when anything that must be none is not.
 */
const folder = process.argv[2] ?? 'coverage/figures'
type Line = Figure & { at: string; size: 'ci' | 'full' }
const lines = readFileSync(join(folder, 'figures.ndjson'), 'utf8')
  .split('\n')
  .filter((line) => line !== '')
  .map((line) => JSON.parse(line) as Line)
const newest = new Map(lines.map((line) => [line.what, line]))

const cell = (text: string) => text.replaceAll('|', '\\|')
console.log('| tried | how often | must be none | seed | more |')
console.log('| --- | --- | --- | --- | --- |')
let wrong = 0
for (const { what, count, bad, seed, notes, at } of newest.values()) {
  for (const n of Object.values(bad)) wrong += n
  const none = Object.entries(bad).map(([name, n]) => `${name}: ${n}`)
  const more = [notes ?? '', at.slice(0, 10)].filter((part) => part !== '').join('; ')
  console.log(`| ${cell(what)} | ${count} | ${cell(none.join(', '))} | ${seed ?? ''} | ${cell(more)} |`)
}
process.exitCode = wrong > 0 ? 1 : 0
