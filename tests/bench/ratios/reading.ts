import { fastestInTurn, timeNode } from '../child.ts'
import { makeSurveyFiles } from '../many-surveys.ts'
import { type Benchmark, ratioOf } from '../ratio.ts'

const SURVEYS = 100_000
const TURNS = 3

/** Short surveys from a file: reading and judging each by itself, and all of `check`, against PapaParse alone on the file. */
export const reading: Benchmark = {
  name: 'reading',
  async run(scale) {
    const files = await makeSurveyFiles(Math.round(SURVEYS * scale), 'long')
    try {
      const [bare, evaluated, checked] = await fastestInTurn(TURNS, [
        () => timeNode('tests/bench/children/papaparse-alone.ts', [files.surveys]),
        () => timeNode('tests/bench/children/read-and-evaluate.ts', [files.register, files.surveys]),
        () =>
          timeNode('functions/cli/stakeline.mjs', [
            ...['check', '--register', files.register, '--surveys', files.surveys, '--json'],
          ]),
      ])
      if (Number(bare!.said) !== files.rowCount || checked!.lines !== files.surveyCount)
        throw new Error('not every row was read')
      const row = { against: 'PapaParse alone (header: true)', unit: 's', reference: bare!.seconds }
      const size = `${files.surveyCount} short surveys, ${files.rowCount} rows`
      return [
        ratioOf({
          name: 'read-evaluate',
          what: `reading, validating and evaluating ${size}`,
          measured: evaluated!.seconds,
          goal: 2.5,
          ...row,
        }),
        ratioOf({
          name: 'check',
          what: `stakeline check on ${size}, with history`,
          measured: checked!.seconds,
          goal: 12,
          notes: { maxRssMb: checked!.maxRssMb },
          ...row,
        }),
      ]
    } finally {
      await files.remove()
    }
  },
}
