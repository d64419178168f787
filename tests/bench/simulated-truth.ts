/**
 * Judges simulated surveys and writes their truth and the judged records: node tests/bench/simulated-truth.ts SEED COUNT FOLDER [wide].
 * The folder gets truth.json and out.ndjson; the surveys themselves are kept in surveys-SEED.json there and made only once. `wide` makes them
 * in the wide world, else in the layered one.
 */
import { existsSync, readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { evaluateSurvey } from '../../shared-lib/evaluate/evaluate-survey.ts'
import { judgedSurvey } from '../../shared-lib/evaluate/evaluation.ts'
import { LAYERED_WORLD, type SimulatedSurvey, simulateSurveys, WIDE_WORLD } from './simulate-surveys.ts'

const [seed = '1', count = '400', folder = '.', world = 'layered'] = process.argv.slice(2)
const kept = join(folder, `surveys-${seed}.json`)
if (!existsSync(kept))
  writeFileSync(
    kept,
    JSON.stringify([
      ...simulateSurveys(Number(seed), Number(count), world === 'wide' ? WIDE_WORLD : LAYERED_WORLD),
    ]),
  )
const surveys = JSON.parse(readFileSync(kept, 'utf8')) as SimulatedSurvey[]
const started = process.hrtime.bigint()
const lines = surveys.map(({ survey, electrode, calibration }) =>
  JSON.stringify(judgedSurvey(survey, evaluateSurvey(survey, { electrode, limits: [], calibration }))),
)
const ms = Number(process.hrtime.bigint() - started) / 1e6
writeFileSync(join(folder, 'truth.json'), JSON.stringify(surveys.map(({ truth }) => truth)))
writeFileSync(join(folder, 'out.ndjson'), `${lines.join('\n')}\n`)
process.stderr.write(`${surveys.length} surveys, ${(ms / surveys.length).toFixed(3)} ms each\n`)
