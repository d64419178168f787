import { createRefusedGroups } from '../terminal/refused-rows.ts'
import { counted, listed, printable } from '../terminal/words.ts'
import type { UploadStatus } from './upload-status.ts'

/** What became of an upload, for a person: the refused rows first, the totals last. */
export function uploadLines(status: UploadStatus, fileName: string): string[] {
  const groups = createRefusedGroups()
  for (const row of status.refused) groups.add(row)
  const untold = status.rowsRefused - new Set(status.refused.map((r) => r.row)).size
  const lines = groups.total > 0 ? ['Refused; all the rest was taken in:', ...groups.lines()] : []
  if (untold > 0) lines.push(`  and ${counted(untold, 'more row')}; see the page of the upload`)
  if (lines.length > 0) lines.push('')
  if (status.ignoredColumns.length > 0)
    lines.push(`Columns not known here, and passed over: ${listed(status.ignoredColumns.map(printable))}.`)
  if (status.state === 'failed') {
    lines.push(`${fileName} was refused as a whole: ${printable(status.failure ?? 'no reason was given')}`)
    return lines
  }
  const rest = [
    ...(status.surveysAlreadyThere > 0 ? [`${status.surveysAlreadyThere} there already`] : []),
    ...(status.surveysHeld > 0 ? [`${status.surveysHeld} held until somebody matches the electrode`] : []),
    ...(status.rowsRefused > 0 ? [`${counted(status.rowsRefused, 'row')} refused`] : []),
  ]
  lines.push(`${[`${fileName}: ${counted(status.surveysAccepted, 'survey')} taken in`, ...rest].join(', ')}.`)
  return lines
}
