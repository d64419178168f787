import { expectedResistance } from '../earth/electrode-resistance.ts'
import { electrodeShape, relativeStrengthM } from '../earth/electrode-shape.ts'
import {
  LEAST_CONDUCTIVE_FROZEN_OHM_M,
  LEAST_CONDUCTIVE_SOIL_OHM_M,
  MOST_CONDUCTIVE_SOIL_OHM_M,
  SEA_WATER_OHM_M,
  soilsLike,
} from '../earth/soils.ts'
import type { Electrode } from '../survey/register.ts'
import type { Survey } from '../survey/survey.ts'
import type { EvaluationContext, SiteSoil } from './evaluation.ts'
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
    // Soil tables end at 1 ohm-m, but mud soaked with sea water or brine goes below: between the two it may be either.
    const brine = soilOhmM >= SEA_WATER_OHM_M * FORMULA_ROOM
    verdict.find(
      {
        code: 'below-physical-floor',
        severity: brine ? 'notice' : 'warning',
        probability: brine ? null : 0.95,
        message: `${inOhm(valueOhm)} would need soil of ${figures(soilOhmM)} ohm-m, and ${brine ? 'only mud soaked with sea water or brine conducts that well. Unless the electrode stands in such ground,' : 'no soil conducts that well. Most often'} something was still connected, or the unit was milliohm: ask the person in control, open nothing.`,
        advice: [
          'Ask what was connected while measuring.',
          'Check unit and decimal sign against the field sheet.',
          'Check the electrode and its dimensions in the register.',
        ],
        evidence: { ...evidence, floorOhm: perOhmM.resistanceOhm * MOST_CONDUCTIVE_SOIL_OHM_M },
      },
      'link',
    )
    verdict.doubt(
      brine
        ? 'Only ground soaked with sea water or brine conducts well enough for this value.'
        : 'No soil conducts well enough for this value.',
    )
  } else if (soilOhmM > most * FORMULA_ROOM) {
    verdict.find({
      code: 'above-physical-ceiling',
      severity: 'warning',
      probability: 0.95,
      message: `${inOhm(valueOhm)} would need soil of ${figures(soilOhmM)} ohm-m, more than bedrock has. Look for a broken conductor or a loose clamp, and check the unit against the field sheet.`,
      advice: [
        'Check the clamp and the lead to the electrode.',
        'Check unit and decimal sign.',
        'Check the electrode and its dimensions in the register.',
      ],
      evidence: { ...evidence, ceilingOhm: perOhmM.resistanceOhm * most },
    })
    verdict.doubt('No soil resists enough for this value.')
  } else judgeAgainstSite(context, valueOhm, perOhmM.resistanceOhm, evidence, verdict)
  const names = soilsLike(soilOhmM)
  if (names.length > 0)
    verdict.note(`A uniform soil of ${figures(soilOhmM)} ohm-m would explain it (as in ${names.join(', ')}).`)
  return soilOhmM
}

/** What the site's own soil survey lets this electrode expect: by its two layers where they are known, else by one resistivity. */
function judgeAgainstSite(
  context: EvaluationContext,
  valueOhm: number,
  perOhmM: number,
  evidence: Record<string, unknown>,
  verdict: Verdict,
): void {
  const { siteSoil, siteSoilOhmM } = context
  const layered = siteSoil ? layeredOhm(context.electrode, siteSoil) : null
  const expectedOhm =
    layered ?? (siteSoilOhmM !== undefined && siteSoilOhmM > 0 ? perOhmM * siteSoilOhmM : null)
  if (expectedOhm === null) return
  const ratio = valueOhm / expectedOhm
  if (!(ratio > SITE_ROOM || ratio < 1 / SITE_ROOM)) return
  const soil =
    layered === null
      ? `${figures(siteSoilOhmM!)} ohm-m`
      : `${figures(siteSoil!.upperOhmM)} ohm-m over ${figures(siteSoil!.lowerOhmM)} from ${figures(siteSoil!.depthM)} m`
  verdict.find({
    code: 'implausible-for-electrode',
    severity: 'warning',
    probability: 0.6,
    message: `The site's soil survey (${soil}) lets this electrode expect ${inOhm(expectedOhm)}, and ${inOhm(valueOhm)} was measured. Check that this is the electrode in the register and what was connected.`,
    advice: [
      'Check the electrode tag.',
      'Check what was connected.',
      'Check the dimensions in the register.',
    ],
    evidence: { ...evidence, expectedOhm, siteSoilOhmM, siteSoil, ratio },
  })
}

/** rho1/(2 pi s), s the strength of the fall in proportion to the resistance; null when the register does not tell the size. */
function layeredOhm(electrode: Electrode, { upperOhmM, lowerOhmM, depthM }: SiteSoil): number | null {
  const shape = electrodeShape(electrode)
  const contrast = (lowerOhmM - upperOhmM) / (lowerOhmM + upperOhmM)
  if (!shape || !(upperOhmM > 0 && depthM > 0 && Math.abs(contrast) < 1)) return null
  // Twentieths: every contrast has a table of its own.
  const rounded = Math.max(-0.95, Math.min(0.95, Math.round(20 * contrast) / 20))
  const expectedOhm = upperOhmM / (2 * Math.PI * relativeStrengthM(shape, { contrast: rounded, depthM }))
  return expectedOhm > 0 && Number.isFinite(expectedOhm) ? expectedOhm : null
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
