import type { Upload, UploadState } from '../../../../shared-lib/ledger/ledger.ts'
import { plural } from '../view/format.ts'

export const UPLOAD_STATE_WORDS: Record<UploadState, string> = {
  received: 'Received, waiting',
  working: 'Being read',
  done: 'Done',
  failed: 'Refused as a whole',
}

/** Surveys dealt with so far: accepted, already there, held and refused add up to all that were read. */
export function surveysRead(u: Upload): number {
  return u.surveysAccepted + u.surveysAlreadyThere + u.surveysHeld + u.surveysRefused
}

/** The totals as a sentence that adds up: `40 surveys read: 37 accepted, 1 already there, 2 refused (5 rows).` */
export function totalsInWords(u: Upload): string {
  const total = surveysRead(u)
  if (u.state === 'failed') return u.failure ?? 'The file as a whole was refused.'
  if (total === 0) return u.state === 'done' ? 'No survey found in it.' : 'Nothing read yet.'
  const parts = [
    `${u.surveysAccepted} accepted`,
    ...(u.surveysAlreadyThere > 0 ? [`${u.surveysAlreadyThere} already there`] : []),
    ...(u.surveysHeld > 0 ? [`${u.surveysHeld} held until the electrode is matched`] : []),
    ...(u.surveysRefused > 0
      ? [`${u.surveysRefused} refused (${plural(u.rowsRefused, 'problem')} by row)`]
      : []),
  ]
  return `${plural(total, 'survey')} read${u.state === 'done' ? '' : ' so far'}: ${parts.join(', ')}.`
}
