import type { Upload, UploadState } from '../../../../shared-lib/ledger/kept/upload.ts'
import { plural } from '../view/format.ts'

export const UPLOAD_STATE_WORDS: Record<UploadState, string> = {
  draft: 'Looked through, not handed in',
  received: 'Received, waiting',
  working: 'Being read',
  done: 'Done',
  failed: 'Refused as a whole',
}

/** Surveys dealt with so far: accepted, already there, held and refused add up to all that were read. */
export function surveysRead(u: Upload): number {
  return u.surveysAccepted + u.surveysAlreadyThere + u.surveysHeld + u.surveysRefused
}

/** How much of the file was read: `312 of 400 rows read, complete`. Never less than said, never more. */
export function rowsInWords(u: Upload): string {
  if (u.rowsTotal === null) return u.state === 'failed' ? 'Stopped before the first row.' : 'No row read yet.'
  const done = u.state === 'done'
  // The place of the last row counts heading and blank rows too, so it can be past the rows with content.
  const read = done ? u.rowsTotal : Math.min(u.rowsRead, u.rowsTotal)
  const how = done ? 'complete' : u.state === 'failed' ? 'stopped early' : 'going on'
  return `${read} of ${plural(u.rowsTotal, 'row')} read, ${how}.`
}

/** The totals as a sentence that adds up: `40 surveys read: 37 accepted, 1 already there, 2 refused (5 rows).` */
export function totalsInWords(u: Upload): string {
  const total = surveysRead(u)
  if (u.state === 'draft') return 'Nothing of it is stored yet. Open it to hand it in.'
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
