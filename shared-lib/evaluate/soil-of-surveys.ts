import { soilOfSite } from '../earth/site-soil.ts'
import type { Survey } from '../survey/survey.ts'
import type { SiteSoil } from './evaluation.ts'

/**
 * What a site's four-point surveys let its electrodes expect, as the judge of a survey takes it; null without a usable one. All of
 * them count for every test of the site: the soil was there before it was measured.
 */
export function soilOfSurveys(soundings: readonly Survey[]): SiteSoil | null {
  const soil = soilOfSite(soundings)
  if (!soil) return null
  const { upperOhmM, lowerOhmM, depthM, relativeUncertainty } = soil
  // The same soil throughout is two layers alike, wherever the boundary is drawn.
  if (lowerOhmM === null || depthM === null)
    return { upperOhmM, lowerOhmM: upperOhmM, depthM: 1, relativeUncertainty }
  return { upperOhmM, lowerOhmM, depthM, relativeUncertainty }
}
