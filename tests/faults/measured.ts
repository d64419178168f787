import { execFileSync } from 'node:child_process'
import { appendFileSync, mkdirSync } from 'node:fs'
import { join } from 'node:path'

/**
 * How large a run is, where its chance comes from, and where its figures go. In CI the sizes are small and the seed is always the
 * same; `STAKELINE_TEST_SIZE=full` takes the full sizes and another seed each time, `STAKELINE_TEST_RUNS=n` as many as there is
 * time for, `STAKELINE_TEST_SEED` repeats a run, `STAKELINE_TEST_REPORT` names a folder for the figures.
 */
const { STAKELINE_TEST_SIZE, STAKELINE_TEST_RUNS, STAKELINE_TEST_SEED, STAKELINE_TEST_REPORT } = process.env

export const FULL = STAKELINE_TEST_SIZE === 'full'
export const sized = (inCi: number, inFull: number): number =>
  STAKELINE_TEST_RUNS ? Number(STAKELINE_TEST_RUNS) : FULL ? inFull : inCi
const SEED_IN_CI = 20_260
export const SEED = STAKELINE_TEST_SEED
  ? Number(STAKELINE_TEST_SEED)
  : FULL
    ? Date.now() % 1_000_000_000
    : SEED_IN_CI

export interface Figure {
  /** What was tried, in words: the row of the table. */
  what: string
  /** What makes it again, as it is typed. */
  command: string
  count: number
  /** What must be none: lost, twice, unauthorised, 5xx, differing … each by its own name. */
  bad: Record<string, number>
  seed?: number
  /** More to say, such as a percentile. */
  notes?: string
}

/** Writes a figure down for the summary table; without a report folder it does nothing. */
export function measured(figure: Figure): void {
  if (!STAKELINE_TEST_REPORT) return
  mkdirSync(STAKELINE_TEST_REPORT, { recursive: true })
  const tree = execFileSync('git', ['rev-parse', '--short', 'HEAD'], { encoding: 'utf8' }).trim()
  const line = { at: new Date().toISOString(), size: FULL ? 'full' : 'ci', tree, ...figure }
  appendFileSync(join(STAKELINE_TEST_REPORT, 'figures.ndjson'), `${JSON.stringify(line)}\n`)
}
