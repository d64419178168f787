import type { Survey } from '../survey/survey.ts'
import { DEFAULTS } from './defaults.ts'
import { estimateLine } from './estimate-line.ts'
import type { EvaluationContext } from './evaluation.ts'
import { judgeLine } from './judge-line.ts'
import { judgeResolution } from './judge-resolution.ts'
import { judgeOpenElectrode } from './judge-safety.ts'
import { judgeInterference, judgeLeads, judgeStakes } from './judge-set-up.ts'
import { type Measured, NO_VALUE } from './measured.ts'
import { prepareLine, spreadPercent } from './prepare-line.ts'
import type { Verdict } from './verdict.ts'
import { inOhm } from './wording.ts'

/** Fall of potential and slope: a line of readings becomes one resistance with its uncertainty. */
export function evaluateLine(survey: Survey, context: EvaluationContext, verdict: Verdict): Measured {
  const open = judgeOpenElectrode(survey, verdict)
  const line = prepareLine(survey, context)
  if (!line) {
    judgeStakes(survey, null, verdict)
    judgeInterference(survey, null, verdict)
    verdict.refuse("The current probe's distance is missing or cannot be.")
    verdict.find({
      code: 'reading-unusable',
      severity: 'warning',
      probability: 0.95,
      message: `The distance of the current probe (${survey.currentProbeM ?? 'not given'}) cannot be used, and without it no reading has a place. Look it up on the field sheet and hand in a correction.`,
      advice: ['Look up the distance on the field sheet.', 'Hand in a correction that names this survey.'],
      evidence: { currentProbeM: survey.currentProbeM },
    })
    return NO_VALUE
  }
  const recommendedCurrentProbeM =
    line.sizeM === null ? null : Math.ceil(DEFAULTS.probeAdvised * line.sizeM * 10) / 10
  const estimate = open ? null : estimateLine(line)
  if (!estimate || !(estimate.resistanceOhm > 0)) {
    judgeStakes(survey, null, verdict)
    judgeInterference(survey, null, verdict)
    if (!open) refuseWithoutValue(survey, line.impossible, verdict)
    return { ...NO_VALUE, recommendedCurrentProbeM }
  }
  const value = estimate.resistanceOhm
  verdict.note(
    `${inOhm(value)} by weighing uniform and layered soils against the readings; their mean at 52 to 72 % is ${inOhm(estimate.meanOhm)}.`,
  )
  if (estimate.uniformShare < 0.1) verdict.note('The curve is that of layered soil.')
  judgeLine(line, estimate, verdict)
  const parts = [
    ...estimate.parts,
    ...judgeStakes(survey, value, verdict),
    ...judgeInterference(survey, value, verdict),
    ...judgeLeads(survey, value, verdict),
  ]
  if (new Set(line.readings.map((reading) => reading.potentialProbeM)).size < 2)
    verdict.refuse('Fewer than two usable positions: nothing shows whether the place was right.')
  const leadOhm = survey.connection === '3-wire' ? (survey.earthLeadOhm ?? 0) : 0
  if (leadOhm >= value) verdict.doubt(`The lead to the electrode (${inOhm(leadOhm)}) is more than was read.`)
  else if (leadOhm > 0) {
    verdict.note(`The lead to the electrode (${inOhm(leadOhm)}) was taken off.`)
    parts.push({ name: 'lead taken off', standardOhm: DEFAULTS.takenOffShare * leadOhm })
  }
  const resistanceOhm = leadOhm < value ? value - leadOhm : value
  const unresolved = judgeResolution(resistanceOhm, line.accuracy.stepOhm, parts, verdict)
  return {
    resistanceOhm,
    ...(unresolved && { unresolved }),
    parts,
    resultBy: estimate.resultBy,
    meanOhm: estimate.meanOhm,
    fitOhm: estimate.fitOhm,
    spreadPercent: spreadPercent(line),
    recommendedCurrentProbeM,
  }
}

function refuseWithoutValue(survey: Survey, impossible: number[], verdict: Verdict): void {
  verdict.refuse('No reading can be used.')
  if (
    verdict.findings.some(
      (finding) => finding.code === 'auxiliary-too-resistive' || finding.code === 'interference',
    )
  )
    return
  verdict.find({
    code: 'reading-unusable',
    severity: 'warning',
    probability: 0.95,
    message: `None of the ${survey.readings.length} readings can be used. Check distances and values against the field sheet, and repeat the survey.`,
    advice: ['Check distances and values.', 'Repeat the survey.'],
    evidence: { readings: survey.readings.length, impossible },
  })
}
