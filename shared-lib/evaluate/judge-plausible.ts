import { expectedResistance } from '../earth/electrode-resistance.ts'
import {
  LEAST_CONDUCTIVE_FROZEN_OHM_M,
  LEAST_CONDUCTIVE_SOIL_OHM_M,
  MOST_CONDUCTIVE_SOIL_OHM_M,
  soilsLike,
} from '../earth/soils.ts'
import type { Survey } from '../survey/survey.ts'
import type { EvaluationContext } from './evaluation.ts'
import type { Verdict } from './verdict.ts'
import { figures, inOhm } from './wording.ts'

/** Room for what hand formulas are wrong by. */
const FORMULA_ROOM = 1.3
/** A factor of three against what the site's own soil survey predicts: common practice, no source. */
const SITE_ROOM = 3

/**
 * Can this electrode read that in any soil? Returns the resistivity that a uniform soil would need, ohm-m, or null when the register
 * does not tell the electrode's dimensions or what was measured is not the electrode alone.
 */
export function judgePlausible(
  survey: Survey,
  context: EvaluationContext,
  valueOhm: number,
  verdict: Verdict,
): number | null {
  if (survey.measuredAs === 'connected' || survey.measuredAs === 'part-of-system') return null
  const perOhmM = expectedResistance(context.electrode, 1)
  if (!perOhmM || !(valueOhm > 0)) return null
  const soilOhmM = valueOhm / perOhmM.resistanceOhm
  if (!Number.isFinite(soilOhmM)) return null
  const most = survey.soilState === 'frozen' ? LEAST_CONDUCTIVE_FROZEN_OHM_M : LEAST_CONDUCTIVE_SOIL_OHM_M
  const evidence = { resistanceOhm: valueOhm, impliedSoilOhmM: soilOhmM, formula: perOhmM.formula }
  if (soilOhmM < MOST_CONDUCTIVE_SOIL_OHM_M / FORMULA_ROOM) {
    verdict.find(
      {
        code: 'below-physical-floor',
        severity: 'warning',
        probability: 0.95,
        message: `${inOhm(valueOhm)} would need soil of ${figures(soilOhmM)} ohm-m, and no soil conducts that well. Most often something was still connected, or the unit was milliohm: ask the person in control, open nothing.`,
        advice: [
          'Ask what was connected while measuring.',
          'Check unit and decimal sign against the field sheet.',
          'Check the electrode and its dimensions in the register.',
        ],
        evidence: { ...evidence, floorOhm: perOhmM.resistanceOhm * MOST_CONDUCTIVE_SOIL_OHM_M },
      },
      'link',
    )
    verdict.doubt('No soil conducts well enough for this value.')
  } else if (soilOhmM > most * FORMULA_ROOM) {
    verdict.find({
      code: 'above-physical-ceiling',
      severity: 'warning',
      probability: 0.9,
      message: `${inOhm(valueOhm)} would need soil of ${figures(soilOhmM)} ohm-m, more than bedrock has. Look for a broken conductor or a loose clamp, and check the unit against the field sheet.`,
      advice: [
        'Check the clamp and the lead to the electrode.',
        'Check unit and decimal sign.',
        'Check the electrode and its dimensions in the register.',
      ],
      evidence: { ...evidence, ceilingOhm: perOhmM.resistanceOhm * most },
    })
    verdict.doubt('No soil resists enough for this value.')
  } else if (context.siteSoilOhmM !== undefined && context.siteSoilOhmM > 0) {
    const ratio = soilOhmM / context.siteSoilOhmM
    if (ratio > SITE_ROOM || ratio < 1 / SITE_ROOM)
      verdict.find({
        code: 'implausible-for-electrode',
        severity: 'warning',
        probability: 0.6,
        message: `The site's soil survey (${figures(context.siteSoilOhmM)} ohm-m) lets this electrode expect ${inOhm(perOhmM.resistanceOhm * context.siteSoilOhmM)}, and ${inOhm(valueOhm)} was measured. Check that this is the electrode in the register and what was connected.`,
        advice: [
          'Check the electrode tag.',
          'Check what was connected.',
          'Check the dimensions in the register.',
        ],
        evidence: { ...evidence, siteSoilOhmM: context.siteSoilOhmM, ratio },
      })
  }
  const names = soilsLike(soilOhmM)
  if (names.length > 0)
    verdict.note(`A uniform soil of ${figures(soilOhmM)} ohm-m would explain it (as in ${names.join(', ')}).`)
  return soilOhmM
}

/** Does the survey speak of the electrode and site that the register knows under this id? */
export function judgeRegister(survey: Survey, context: EvaluationContext, verdict: Verdict): void {
  const { electrode } = context
  if (survey.siteId === undefined || survey.siteId === electrode.siteId) return
  verdict.find({
    code: 'register-mismatch',
    severity: 'warning',
    probability: 0.8,
    message: `The survey names site ${survey.siteId}, and the register has electrode ${electrode.electrodeId} at ${electrode.siteId}. Check the tag on the electrode, then correct the survey or the register.`,
    advice: ['Check the electrode tag.', 'Correct the survey or the register.'],
    evidence: { surveySiteId: survey.siteId, registerSiteId: electrode.siteId },
  })
}
