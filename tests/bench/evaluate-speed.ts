/**
 * What judging one survey costs: node tests/bench/evaluate-speed.ts [COUNT]. Microseconds of processor time a survey, and in the same run
 * what they are held against: PapaParse reading the rows of the short surveys, and uniform soil alone for the full ones.
 */
import Papa from 'papaparse'
import { seeded } from '../../sample-data/make/random.ts'
import { type ElectrodeShape, electrodeShape } from '../../shared-lib/earth/electrode-shape.ts'
import { SOIL_GUESSES, type SoilGuess } from '../../shared-lib/earth/layered-line.ts'
import { evaluateSurvey } from '../../shared-lib/evaluate/evaluate-survey.ts'
import { explainLine } from '../../shared-lib/evaluate/explain-line.ts'
import type { Electrode } from '../../shared-lib/survey/register.ts'
import type { Survey } from '../../shared-lib/survey/survey.ts'

const count = Number(process.argv[2] ?? 20_000)
const random = seeded(5)
const electrodes: Electrode[] = Array.from({ length: Math.ceil(count / 20) }, (_, i) => ({
  electrodeId: `E${i}`,
  siteId: `S${i % 50}`,
  limitOhm: 25,
  ...(i % 3 === 2
    ? { kind: 'grid', areaM2: 100 + (i % 7) * 40, diameterMm: 10 }
    : { kind: 'rod', lengthM: 2 + (i % 5) * 0.5, diameterMm: 16 }),
}))
const calibration = {
  instrumentId: 'I',
  calibratedOn: '2025-01-01',
  accuracyPercent: 2,
  accuracyDigits: 3,
  resolutionOhm: 0.01,
}
const shapes = new Map<Electrode, ElectrodeShape>()
const SHORT = [0.52, 0.62, 0.72]
const FULL = [0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9]

function survey(i: number, positions: readonly number[], noise: number): { survey: Survey; at: Electrode } {
  const at = electrodes[Math.floor(i / 20)]!
  // Every crew finds its own distance, a little different each time.
  const currentProbeM = Math.round(10 * (at.kind === 'grid' ? 150 : 30) * (1 + 0.2 * random())) / 10
  return {
    at,
    survey: {
      surveyRef: `V${i}`,
      electrodeId: at.electrodeId,
      testedAt: '2026-05-04T10:20:00+01:00',
      method: 'fall-of-potential',
      outcome: 'tested',
      measuredAs: 'electrode-alone',
      currentProbeM,
      instrumentId: 'I',
      readings: positions.map((p) => ({
        condition: 'ok',
        potentialProbeM: Math.round(p * currentProbeM * 100) / 100,
        resistanceOhm:
          Math.round(1000 * (1 + 0.1 * (p - 0.62) + noise * (random() + random() - 1)) * (1 + (i % 9))) / 100,
      })),
    },
  }
}

/** Microseconds of processor time a survey, so that a busy machine does not count: the least of five rounds. */
function cost(
  list: { survey: Survey; at: Electrode }[],
  judge: (one: (typeof list)[number]) => unknown,
): number {
  let best = Number.POSITIVE_INFINITY
  for (let round = 0; round < 5; round++) {
    const started = process.cpuUsage()
    for (const one of list) judge(one)
    const { user, system } = process.cpuUsage(started)
    best = Math.min(best, (user + system) / list.length)
  }
  return best
}

const judge = ({ survey, at }: { survey: Survey; at: Electrode }) =>
  evaluateSurvey(survey, { electrode: at, limits: [], calibration })
const row = (name: string, us: number) => process.stdout.write(`${name.padEnd(44)} ${us.toFixed(1)} us\n`)
const short = Array.from({ length: count }, (_, i) => survey(i, SHORT, 0.01))
const wobbly = Array.from({ length: Math.ceil(count / 10) }, (_, i) => survey(i, SHORT, 0.06))
const full = Array.from({ length: Math.ceil(count / 20) }, (_, i) => survey(i, FULL, 0.01))
const shortUs = cost(short, judge)
row('short, 1 % noise', shortUs)
const csv = ['survey_ref,electrode_id,tested_at,current_probe_m,potential_probe_m,resistance_ohm']
for (const { survey } of short)
  for (const { potentialProbeM, resistanceOhm } of survey.readings)
    csv.push(
      `${survey.surveyRef},${survey.electrodeId},${survey.testedAt},${survey.currentProbeM},${potentialProbeM},${resistanceOhm}`,
    )
const text = csv.join('\n')
const readUs = cost([short[0]!], () => Papa.parse(text, { header: true })) / short.length
row('PapaParse, its three rows', readUs)
row('short, 6 % noise: every slip is weighed', cost(wobbly, judge))
const fullUs = cost(full, judge)
row('full, 1 % noise', fullUs)
const uniform = SOIL_GUESSES.slice(0, 1)
const explainUs = (soils: readonly SoilGuess[]) =>
  cost(full, ({ survey, at }) => explainOnly(survey, at, soils))
const restUs = fullUs - explainUs(SOIL_GUESSES)
const uniformUs = Math.max(1, restUs) + explainUs(uniform)
row('full, uniform soil alone', uniformUs)
process.stdout.write(
  `${JSON.stringify({ shortTimesReading: shortUs / readUs, layeredTimesUniform: fullUs / uniformUs })}\n`,
)

function explainOnly(survey: Survey, at: Electrode, soils: readonly SoilGuess[]) {
  const shape = shapes.get(at) ?? electrodeShape(at)!
  shapes.set(at, shape)
  const value = Float64Array.from(survey.readings, (reading) => reading.resistanceOhm! / 10)
  return explainLine(
    { value, stepVariance: 1e-7, lnTypicalOhm: Math.log(10) },
    {
      potentialProbeM: survey.readings.map((reading) => reading.potentialProbeM!),
      currentProbeM: survey.currentProbeM!,
      angleDeg: 0,
      origins: shape.origins,
    },
    shape,
    soils,
    false,
  )
}
