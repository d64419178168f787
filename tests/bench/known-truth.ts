/**
 * Judges a folder of surveys whose truth is known and prints one judged survey a line:
 * node tests/bench/known-truth.ts FOLDER > out.ndjson. The folder holds electrodes.csv, instruments.csv and surveys.csv in SI columns.
 */
import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import Papa from 'papaparse'
import { evaluateSurvey } from '../../shared-lib/evaluate/evaluate-survey.ts'
import { judgedSurvey } from '../../shared-lib/evaluate/evaluation.ts'
import type { Calibration, Electrode } from '../../shared-lib/survey/register.ts'
import type { Survey } from '../../shared-lib/survey/survey.ts'

type Row = Record<string, string>
const folder = process.argv[2] ?? '.'
const rows = (name: string): Row[] =>
  Papa.parse<Row>(readFileSync(join(folder, name), 'utf8'), { header: true, skipEmptyLines: true }).data
const camel = (name: string) => name.replace(/_([a-z0-9])/g, (_, letter: string) => letter.toUpperCase())
const TEXT = /_id$|^kind$|_on$|_at$|_ref$|^condition$|^method$|measured_as/

function typed(row: Row): Record<string, string | number> {
  const out: Record<string, string | number> = {}
  for (const [key, value] of Object.entries(row))
    if (value !== '') out[camel(key)] = TEXT.test(key) ? value : Number(value)
  return out
}

const electrodes = new Map(
  rows('electrodes.csv').map((row) => [row.electrode_id!, typed(row) as unknown as Electrode]),
)
const calibrations = new Map(
  rows('instruments.csv').map((row) => [row.instrument_id!, typed(row) as unknown as Calibration]),
)
const surveys = new Map<string, Survey>()
for (const row of rows('surveys.csv')) {
  const { potentialProbeM, resistanceOhm, condition, ...head } = typed(row) as Record<string, never>
  const survey =
    surveys.get(row.survey_ref!) ?? ({ outcome: 'tested', readings: [], ...head } as unknown as Survey)
  survey.readings.push({
    condition: condition ?? 'ok',
    ...(potentialProbeM === undefined ? {} : { potentialProbeM }),
    ...(resistanceOhm === undefined ? {} : { resistanceOhm }),
  })
  surveys.set(row.survey_ref!, survey)
}
const started = process.hrtime.bigint()
const lines: string[] = []
for (const survey of surveys.values()) {
  const electrode = electrodes.get(survey.electrodeId!)
  if (!electrode) continue
  const calibration = calibrations.get(survey.instrumentId ?? '')
  const evaluation = evaluateSurvey(survey, { electrode, limits: [], ...(calibration && { calibration }) })
  lines.push(JSON.stringify(judgedSurvey(survey, evaluation)))
}
const ms = Number(process.hrtime.bigint() - started) / 1e6
process.stdout.write(`${lines.join('\n')}\n`)
process.stderr.write(`${surveys.size} surveys, ${(ms / surveys.size).toFixed(3)} ms each\n`)
