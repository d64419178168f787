import type { Survey } from '../../../../shared-lib/survey/survey.ts'
import { number } from '../view/format.ts'

/** All readings of a survey on one line: `15.6 m: 10.9 Ω; 18.6 m: 11 Ω`. */
export function readingsLine(survey: Pick<Survey, 'readings'>): string {
  return survey.readings
    .map((r) => {
      const place = r.potentialProbeM ?? r.probeSpacingM
      const value = r.resistanceOhm === undefined ? r.condition : `${number(r.resistanceOhm, 7)} Ω`
      return place === undefined ? value : `${number(place, 6)} m: ${value}`
    })
    .join('; ')
}
