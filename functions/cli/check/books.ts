import type { SiteSoil } from '../../../shared-lib/evaluate/evaluation.ts'
import type { Books } from '../../../shared-lib/evaluate/in-force.ts'
import type { Calibration, Electrode, Limit, Work } from '../../../shared-lib/survey/register.ts'
import { type Survey, subjectOf } from '../../../shared-lib/survey/survey.ts'

/** The tables given to `check`, by what they are about. */
export interface RegisterBooks {
  electrodes: Map<string, Electrode>
  limits: Map<string, Limit[]>
  calibrations: Map<string, Calibration[]>
  works: Map<string, Work[]>
  /** From the four-point surveys among those to be judged, by site. */
  soils: Map<string, SiteSoil>
  /** When the files are judged, ms: no test can be dated after it. */
  readAtMs: number
}

/** The books a survey is judged by, and its site; null when its electrode is not in the register. */
export function booksFor(
  survey: Survey,
  register: RegisterBooks,
): { books: Books; siteId: string; electrodeId: string | null } | null {
  const subject = subjectOf(survey)
  const calibrations = register.calibrations.get(survey.instrumentId ?? '') ?? []
  if (subject?.kind !== 'electrode') {
    // A site's soil or an instrument's check has no electrode: it is judged by the instrument alone.
    const siteId = survey.siteId ?? ''
    const electrode: Electrode = { electrodeId: '', siteId, kind: 'other' }
    return {
      books: { versions: [{ from: '', electrode }], limits: [], calibrations },
      siteId,
      electrodeId: null,
    }
  }
  const electrode = register.electrodes.get(subject.id)
  if (!electrode) return null
  const soil = register.soils.get(electrode.siteId)
  return {
    books: {
      versions: [{ from: '', electrode }],
      limits: register.limits.get(subject.id) ?? [],
      calibrations,
      ...(soil ? { siteSoil: soil } : {}),
    },
    siteId: electrode.siteId,
    electrodeId: subject.id,
  }
}
