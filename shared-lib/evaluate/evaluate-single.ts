import { soundingPoints } from '../earth/site-soil.ts'
import { fitSoil } from '../earth/two-layer-sounding.ts'
import type { Survey } from '../survey/survey.ts'
import { DEFAULTS } from './defaults.ts'
import type { EvaluationContext } from './evaluation.ts'
import { accuracyOf, instrumentParts } from './instrument.ts'
import { judgeOpenElectrode } from './judge-safety.ts'
import { judgeInterference, judgeLeads, judgeStakes } from './judge-set-up.ts'
import { type Measured, NO_VALUE } from './measured.ts'
import type { Verdict } from './verdict.ts'
import { figures, inOhm } from './wording.ts'

/** Methods whose reading is the value: clamp loop, selective, high-frequency, current injection, known earth, two-point, check resistor. */
export function evaluateSingle(survey: Survey, context: EvaluationContext, verdict: Verdict): Measured {
  if (
    survey.method !== 'two-point' &&
    survey.method !== 'check-resistor' &&
    judgeOpenElectrode(survey, verdict)
  )
    return NO_VALUE
  const values = usable(survey)
  if (values.length === 0) {
    refuse(survey, verdict)
    judgeStakes(survey, null, verdict)
    judgeInterference(survey, null, verdict)
    return NO_VALUE
  }
  const meanOhm = values.reduce((sum, value) => sum + value, 0) / values.length
  const known = survey.method === 'known-earth' ? sizeOf(survey.knownOhm) : 0
  const lead = leadOf(survey)
  const takenOff = lead + known
  const resistanceOhm = Math.max(0, meanOhm - takenOff)
  if (takenOff > 0) {
    const what = [...(lead > 0 ? ['leads'] : []), ...(known > 0 ? ['the known earth'] : [])]
    verdict.note(`${inOhm(takenOff)} was taken off (${what.join(' and ')}).`)
  }
  if (takenOff > meanOhm) verdict.doubt('More was taken off than was read.')
  const accuracy = accuracyOf(context.calibration, values)
  const parts = instrumentParts(accuracy, meanOhm)
  if (takenOff > 0) parts.push({ name: 'what was taken off', standardOhm: DEFAULTS.takenOffShare * takenOff })
  if (values.length > 1) {
    const squares = values.reduce((sum, value) => sum + (value - meanOhm) ** 2, 0)
    parts.push({
      name: 'repeatability of the readings',
      standardOhm: Math.sqrt(squares / (values.length - 1) / values.length),
    })
  }
  parts.push(...judgeStakes(survey, meanOhm, verdict), ...judgeInterference(survey, meanOhm, verdict))
  if (survey.method !== 'check-resistor' && survey.method !== 'two-point' && survey.method !== 'clamp-loop')
    parts.push(...judgeLeads(survey, meanOhm, verdict))
  if (survey.method === 'check-resistor') judgeCheckResistor(survey, meanOhm, accuracy, verdict)
  return { ...NO_VALUE, resistanceOhm, parts, resultBy: 'reading', meanOhm }
}

/** Leads that lie within the reading, ohm: between two terminals both of them, with three wires the one to the electrode. */
function leadOf(survey: Survey): number {
  switch (survey.method) {
    case 'two-point':
    case 'known-earth':
      return sizeOf(survey.leadResistanceOhm)
    case 'selective':
    case 'high-frequency':
    case 'current-injection':
      return survey.connection === '3-wire' ? sizeOf(survey.earthLeadOhm) : 0
    default:
      return 0
  }
}

const sizeOf = (ohm: number | undefined): number =>
  ohm !== undefined && Number.isFinite(ohm) ? Math.max(0, ohm) : 0

/** What a reading of a four-point survey may miss by before the survey is doubted, relative. Our own estimate, no source. */
const SOUNDING_MISFIT = 0.25

/** Four-point: the soil's apparent resistivity and the layers it shows, no resistance of an electrode. */
export function evaluateFourPoint(survey: Survey, verdict: Verdict): Measured {
  const points = soundingPoints(survey.readings)
  const fit = fitSoil(points)
  if (!fit) {
    refuse(survey, verdict)
    return NO_VALUE
  }
  const soils = points.map((point) => point.apparentOhmM)
  const soilOhmM = Math.exp(soils.reduce((sum, soil) => sum + Math.log(soil), 0) / soils.length)
  verdict.note(
    `Apparent resistivity ${soils.map((soil) => figures(soil)).join(', ')} ohm-m; ${figures(soilOhmM)} ohm-m in the mean of logarithms.`,
  )
  const { upperOhmM, lowerOhmM, depthM } = fit.soil
  verdict.note(
    lowerOhmM === null || depthM === null
      ? fit.why
      : `${fit.why} ${figures(upperOhmM)} ohm-m over ${figures(lowerOhmM)} ohm-m, the upper layer ${figures(depthM)} m deep.`,
  )
  if (fit.misfit > SOUNDING_MISFIT) {
    const percent = Math.round(100 * fit.misfit)
    verdict.doubt(`No soil of one or two layers explains the readings: they miss by ${percent} %.`)
    verdict.find({
      code: 'readings-disagree',
      severity: 'warning',
      probability: 0.8,
      message: `The readings miss by ${percent} % what any soil of one or two layers would show. Check spacings, decimal signs and units against the field sheet, and repeat the survey beside the first line or at a right angle to it.`,
      advice: [
        'Check spacings, decimal signs and units against the field sheet.',
        'Look for pipes, cables and fences along the line.',
        'Repeat the survey at a right angle.',
      ],
      evidence: { misfitPercent: percent, apparentOhmM: soils },
    })
  }
  return { ...NO_VALUE, resultBy: 'four-point', soilOhmM }
}

function usable(survey: Survey): number[] {
  return survey.readings
    .filter((reading) => reading.condition === 'ok')
    .map((reading) => reading.resistanceOhm)
    .filter((value): value is number => value !== undefined && value >= 0 && value < 1e12)
}

function refuse(survey: Survey, verdict: Verdict): void {
  verdict.refuse('No reading can be used.')
  verdict.find({
    code: 'reading-unusable',
    severity: 'warning',
    probability: 0.95,
    message: `None of the ${survey.readings.length} readings can be used. Check them against the field sheet, and repeat the test.`,
    advice: ['Check the values against the field sheet.', 'Repeat the test.'],
    evidence: { readings: survey.readings.length },
  })
}

/** A resistor of known value tells whether the instrument still reads right. */
function judgeCheckResistor(
  survey: Survey,
  meanOhm: number,
  accuracy: { percent: number; digits: number; stepOhm: number },
  verdict: Verdict,
): void {
  const knownOhm = survey.knownOhm
  if (knownOhm === undefined || !(knownOhm > 0)) {
    verdict.doubt("The resistor's value is not recorded.")
    return
  }
  const allowedOhm = (accuracy.percent / 100) * knownOhm + Math.max(1, accuracy.digits) * accuracy.stepOhm
  const errorOhm = meanOhm - knownOhm
  if (Math.abs(errorOhm) <= allowedOhm) {
    verdict.note(`Within ${inOhm(allowedOhm)} of the resistor.`)
    return
  }
  verdict.find({
    code: 'instrument-bias',
    severity: 'warning',
    probability: 0.9,
    message: `The instrument reads ${inOhm(meanOhm)} on a resistor of ${inOhm(knownOhm)}, and may differ by ${inOhm(allowedOhm)} only. Take it out of use and have it calibrated; look again at what it measured since its last good check.`,
    advice: ['Clean the terminals and repeat.', 'Take the instrument out of use.', 'Have it calibrated.'],
    evidence: { meanOhm, knownOhm, errorOhm, allowedOhm, instrumentId: survey.instrumentId },
  })
}
