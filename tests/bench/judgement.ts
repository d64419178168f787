/**
 * Judges a folder of surveys with known truth, prior tests included, and prints one judged survey a line:
 * node tests/bench/judgement.ts FOLDER [--history-only] > out.ndjson. The folder holds electrodes.csv, instruments.csv,
 * surveys.csv and perhaps works.csv; --parameters FILE gives learnt parameters. Timing goes to stderr.
 */
import { existsSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { evaluateSurvey } from '../../shared-lib/evaluate/evaluate-survey.ts'
import { type JudgedSurvey, judgedSurvey } from '../../shared-lib/evaluate/evaluation.ts'
import { contextInForce } from '../../shared-lib/evaluate/in-force.ts'
import { assessInstruments } from '../../shared-lib/history/assess-instruments.ts'
import { replaySite } from '../../shared-lib/history/assess-site.ts'
import type { Parameters, PriorTest } from '../../shared-lib/history/assessment.ts'
import { mergeFindings } from '../../shared-lib/history/merge-findings.ts'
import { defaultParameters } from '../../shared-lib/history/parameters.ts'
import { toPriorTest } from '../../shared-lib/history/prior-test.ts'
import type { Finding } from '../../shared-lib/survey/finding.ts'
import { readCalibrations, readElectrodes, readWorks } from '../../shared-lib/survey/read-register.ts'
import { readSurveysFromText } from '../../shared-lib/survey/read-surveys.ts'
import { sourceOf } from '../../shared-lib/survey/source.ts'

const folder = process.argv[2] ?? '.'
const historyOnly = process.argv.includes('--history-only')
const given = process.argv.indexOf('--parameters')
const parameters: Parameters =
  given > 0 ? JSON.parse(readFileSync(process.argv[given + 1]!, 'utf8')) : defaultParameters
const source = (name: string) => sourceOf(readFileSync(join(folder, name)))

const electrodes = (await readElectrodes(source('electrodes.csv'))).items
const calibrations = (await readCalibrations(source('instruments.csv'))).items
const works = existsSync(join(folder, 'works.csv')) ? (await readWorks(source('works.csv'))).items : []
const byId = new Map(electrodes.map((e) => [e.electrodeId, e]))
const byInstrument = Map.groupBy(calibrations, (c) => c.instrumentId)

const judged: JudgedSurvey[] = []
const tests = new Map<string, PriorTest[]>()
const judging = process.hrtime.bigint()
for (const entry of readSurveysFromText(readFileSync(join(folder, 'surveys.csv'), 'utf8')).entries) {
  if (entry.kind !== 'survey') continue
  const { survey } = entry
  const electrode = byId.get(survey.electrodeId ?? '')
  if (!electrode) continue
  const own = byInstrument.get(survey.instrumentId ?? '') ?? []
  const context = contextInForce(survey, {
    versions: [{ from: '', electrode }],
    limits: [],
    calibrations: own,
  })
  if (!context) continue
  const evaluation = evaluateSurvey(survey, context)
  judged.push(judgedSurvey(survey, evaluation))
  const list = tests.get(electrode.electrodeId) ?? []
  list.push(toPriorTest(survey, evaluation, electrode.siteId))
  tests.set(electrode.electrodeId, list)
}

const comparing = process.hrtime.bigint()
const found = new Map<string, Finding[]>()
const key = (electrodeId: string, surveyRef: string) => `${electrodeId}\n${surveyRef}`
const instruments = []
for (const [, site] of Map.groupBy(electrodes, (e) => e.siteId)) {
  const replay = replaySite({
    electrodes: site.map((electrode) => ({
      electrode,
      tests: tests.get(electrode.electrodeId) ?? [],
      works: works.filter((w) => w.electrodeId === electrode.electrodeId),
      decisions: [],
    })),
    calibrations,
    parameters,
  })
  instruments.push(...replay.instruments)
  for (const [id, assessment] of Object.entries(replay.assessments))
    for (const [ref, findings] of Object.entries(assessment.findings)) found.set(key(id, ref), findings)
}
for (const f of assessInstruments(instruments, calibrations)) {
  const list = found.get(key(f.electrodeId, f.surveyRef))
  if (list) list.push(f.finding)
  else found.set(key(f.electrodeId, f.surveyRef), [f.finding])
}
const done = process.hrtime.bigint()

for (const survey of judged) {
  const fromHistory = found.get(key(survey.electrodeId ?? '', survey.surveyRef)) ?? []
  const findings = historyOnly ? fromHistory : mergeFindings(survey.findings, fromHistory)
  process.stdout.write(`${JSON.stringify({ ...survey, findings })}\n`)
}
const each = (from: bigint, to: bigint) => (Number(to - from) / 1e6 / Math.max(1, judged.length)).toFixed(3)
process.stderr.write(
  `${judged.length} surveys; read and judged alone ${each(judging, comparing)} ms each, against prior tests ${each(comparing, done)} ms each\n`,
)
