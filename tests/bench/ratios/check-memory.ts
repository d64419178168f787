import { timeNode } from '../child.ts'
import { makeSurveyFiles } from '../many-surveys.ts'
import { type Benchmark, ratioOf } from '../ratio.ts'

const ROWS = [10_000, 100_000, 1_000_000]
const MOST_MB = 512

/** The most memory `check` holds at 10^4, 10^5 and 10^6 rows, a survey a row. */
export const checkMemory: Benchmark = {
  name: 'check-memory',
  async run(scale) {
    const peaksMb: number[] = []
    const notes: Record<string, number> = {}
    for (const rows of ROWS.map((count) => Math.round(count * scale))) {
      const files = await makeSurveyFiles(rows, 'wide')
      try {
        const run = await timeNode('functions/cli/stakeline.mjs', [
          ...['check', '--register', files.register, '--surveys', files.surveys, '--json'],
        ])
        if (run.lines !== rows) throw new Error(`${run.lines} records of ${rows}`)
        peaksMb.push(run.maxRssMb)
        notes[`MB at ${rows}`] = run.maxRssMb
      } finally {
        await files.remove()
      }
    }
    const row = { measured: peaksMb.at(-1)!, unit: 'MB', notes }
    return [
      ratioOf({
        name: 'check-memory-flat',
        what: `most memory of check at ${ROWS[2]! * scale} rows`,
        against: `at ${ROWS[1]! * scale} rows`,
        reference: peaksMb[1]!,
        goal: 1.3,
        ...row,
      }),
      ratioOf({
        name: 'check-memory-most',
        what: `most memory of check at ${ROWS[2]! * scale} rows`,
        against: `${MOST_MB} MB`,
        reference: MOST_MB,
        goal: 1,
        ...row,
      }),
    ]
  },
}
