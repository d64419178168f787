import type { Survey } from '../survey/survey.ts'
import { JUDGE_VERSION } from './defaults.ts'
import { evaluateLine } from './evaluate-line.ts'
import { evaluateFourPoint, evaluateSingle } from './evaluate-single.ts'
import type { Evaluation, EvaluationContext, Use } from './evaluation.ts'
import { judgeDates } from './judge-dates.ts'
import { judgeLimit } from './judge-limit.ts'
import { judgePlausible, judgeRegister } from './judge-plausible.ts'
import { judgeEarthClosed, judgeSeen } from './judge-safety.ts'
import { judgeCalibration, judgeConnection } from './judge-set-up.ts'
import { type Measured, NO_VALUE } from './measured.ts'
import { openVerdict, type Verdict } from './verdict.ts'

/**
 * Judges one survey by itself: validity with reasons, effective resistance with its expanded uncertainty (k = 2), conformity, findings,
 * advice and cautions. Total and pure: any survey of the type gets an answer without NaN or Infinity, the same one every time.
 * Surveys with another outcome than `tested` are results too: they carry no value, and are judged for safety and dates only.
 */
export function evaluateSurvey(survey: Survey, context: EvaluationContext): Evaluation {
  const verdict = openVerdict()
  judgeEarthClosed(survey, verdict)
  judgeDates(survey, context, verdict)
  if (survey.method !== 'four-point' && survey.method !== 'check-resistor')
    judgeRegister(survey, context, verdict)
  const measured = measure(survey, context, verdict)
  judgeSeen(survey, measured.resistanceOhm, verdict)
  const parts = measured.parts.filter((part) => part.standardOhm >= 0)
  const total = finiteOrNull(2 * Math.hypot(...parts.map((part) => part.standardOhm)))
  if (total === null) verdict.refuse('Some number is too large for an uncertainty to be stated.')
  const held = verdict.validity() === 'invalid' ? null : finiteOrNull(measured.resistanceOhm)
  const value = measured.unresolved ? null : held
  if (survey.outcome === 'tested') {
    judgeCalibration(survey, context, verdict)
    if (survey.method !== 'two-point' && survey.method !== 'four-point' && survey.method !== 'check-resistor')
      judgeConnection(survey, context, verdict)
  }
  const soil = soilOf(survey, context, measured, held, verdict)
  const limit = judgeLimit(survey, context, held, total, verdict)
  return {
    validity: verdict.validity(),
    reasons: verdict.reasons,
    usableFor: usesOf(verdict, held ?? measured.soilOhmM ?? null, limit.decided),
    resistanceOhm: value,
    expandedUncertaintyOhm: value === null ? null : total,
    uncertaintyParts: value === null ? [] : parts,
    resultBy: measured.resultBy,
    meanOhm: finiteOrNull(measured.meanOhm),
    fitOhm: finiteOrNull(measured.fitOhm),
    spreadPercent: finiteOrNull(measured.spreadPercent),
    conformity: limit.conformity,
    conformityRule: limit.conformityRule,
    conformityProbability: finiteOrNull(limit.conformityProbability),
    limitOhm: finiteOrNull(limit.limitOhm),
    impliedSoilResistivityOhmM: measured.unresolved ? null : finiteOrNull(soil),
    recommendedCurrentProbeM: finiteOrNull(measured.recommendedCurrentProbeM),
    findings: verdict.findings,
    cautions: verdict.cautions(),
    judgeVersion: JUDGE_VERSION,
  }
}

function measure(survey: Survey, context: EvaluationContext, verdict: Verdict): Measured {
  if (survey.outcome !== 'tested') {
    verdict.refuse(`Not tested (${survey.outcome}): a result without a value. Plan another visit.`)
    return NO_VALUE
  }
  switch (survey.method) {
    case 'fall-of-potential':
    case 'slope':
      return evaluateLine(survey, context, verdict)
    case 'four-point':
      return evaluateFourPoint(survey, verdict)
    default:
      return evaluateSingle(survey, context, verdict)
  }
}

function soilOf(
  survey: Survey,
  context: EvaluationContext,
  measured: Measured,
  value: number | null,
  verdict: Verdict,
): number | null {
  if (measured.soilOhmM !== undefined) return measured.soilOhmM
  if (value === null || survey.method === 'two-point' || survey.method === 'check-resistor') return null
  return judgePlausible(survey, context, value, verdict)
}

/** A doubtful value is still good for acceptance where the doubt cannot change the decision; it is not compared with others. */
function usesOf(verdict: Verdict, value: number | null, decided: boolean): Use[] {
  if (value === null || verdict.validity() === 'invalid') return []
  if (verdict.validity() === 'doubtful') return decided ? ['acceptance'] : []
  return verdict.fitForTrend() ? ['acceptance', 'trend'] : ['acceptance']
}

const finiteOrNull = (value: number | null): number | null =>
  value !== null && Number.isFinite(value) ? value : null
