import { existsSync, readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import type { Line } from './measured.ts'
import { keepRecord, readRecords, tableOf, withTable, wrongIn } from './records.ts'

/**
 * `npm run test:figures [-- FOLDER]`: keeps what the full runs have written down (default: coverage/figures) as records, the newest of
 * each kind, and writes the table of all records into DEVELOPERS.md. Exit 1 when anything that must be none is not.
 */
const written = join(process.argv[2] ?? 'coverage/figures', 'figures.ndjson')
const lines = existsSync(written)
  ? readFileSync(written, 'utf8')
      .split('\n')
      .filter((line) => line !== '')
      .map((line) => JSON.parse(line) as Line)
  : []
for (const line of lines) if (line.size === 'full') keepRecord(line)

const records = readRecords()
const document = join(import.meta.dirname, '../../DEVELOPERS.md')
writeFileSync(document, withTable(readFileSync(document, 'utf8'), tableOf(records)))
console.log(`${records.length} records, ${lines.length} lines read; the table is in DEVELOPERS.md`)
process.exitCode = records.some((record) => wrongIn(record) > 0) ? 1 : 0
