import { existsSync, readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { FULL_RUNS, figuresTable, newestOfEach, notNone, readRuns, withTable } from './full-runs.ts'

/**
 * `npm run test:figures [-- FOLDER]`: takes the figures that full runs have written down (default: coverage/figures) into
 * full-runs.ndjson, the newest of each kind, and writes the table of DEVELOPERS.md. Exit 1 when anything that must be none is not.
 */
const written = join(process.argv[2] ?? 'coverage/figures', 'figures.ndjson')
const fresh = existsSync(written) ? readRuns(written).filter((run) => run.size === 'full') : []
const runs = newestOfEach([...(existsSync(FULL_RUNS) ? readRuns(FULL_RUNS) : []), ...fresh])
writeFileSync(FULL_RUNS, runs.map((run) => `${JSON.stringify(run)}\n`).join(''))
writeFileSync('DEVELOPERS.md', withTable(readFileSync('DEVELOPERS.md', 'utf8'), figuresTable(runs)))
console.log(figuresTable(runs))
for (const what of notNone(runs)) console.error(`not none: ${what}`)
process.exitCode = notNone(runs).length > 0 ? 1 : 0
