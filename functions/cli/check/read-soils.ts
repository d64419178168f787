import type { SiteSoil } from '../../../shared-lib/evaluate/evaluation.ts'
import { soilOfSurveys } from '../../../shared-lib/evaluate/soil-of-surveys.ts'
import type { ReadOptions } from '../../../shared-lib/survey/file-plan.ts'
import { readSurveys } from '../../../shared-lib/survey/read-surveys.ts'
import type { Survey } from '../../../shared-lib/survey/survey.ts'
import type { ScannedFile } from './survey-file.ts'

/**
 * The soil of each site, from the four-point surveys in these files: it must be known before the first survey is judged, wherever in
 * the files it stands. A file without the columns of such surveys is not read for it.
 */
export async function readSoils(
  files: readonly ScannedFile[],
  options: ReadOptions,
): Promise<Map<string, SiteSoil>> {
  const bySite = new Map<string, Map<string, Survey>>()
  for (const { input, scanned } of files) {
    if (!scanned.ok || !scanned.plan.layout.columnOf.has('probeSpacingM')) continue
    for await (const entry of readSurveys(input.open, scanned.plan, options)) {
      if (entry.kind !== 'survey' || entry.survey.method !== 'four-point' || !entry.survey.siteId) continue
      const { siteId, surveyRef } = entry.survey
      const ofSite = bySite.get(siteId) ?? new Map<string, Survey>()
      bySite.set(siteId, ofSite)
      // Other content under a reference that is taken is refused where the surveys are judged.
      if (!ofSite.has(surveyRef)) ofSite.set(surveyRef, entry.survey)
    }
  }
  const soils = [...bySite].map(
    ([siteId, surveys]) => [siteId, soilOfSurveys([...surveys.values()])] as const,
  )
  return new Map(soils.filter((s): s is [string, SiteSoil] => s[1] !== null))
}
