import { createRefusedGroups } from '../terminal/refused-rows.ts'
import { counted, ignoredColumnsLine, listed, printable } from '../terminal/words.ts'
import type { RefusedRowTold, TableStatus, UploadStatus } from './upload-status.ts'

function refusedBlock(refused: readonly RefusedRowTold[]): string[] {
  const groups = createRefusedGroups()
  for (const row of refused) groups.add(row)
  return groups.total > 0 ? ['Refused; all the rest was taken in:', ...groups.lines(), ''] : []
}

const ignored = (fileName: string, columns: readonly string[]): string[] =>
  [ignoredColumnsLine(fileName, columns)].filter((line) => line !== null)

const some = (n: number, text: string): string[] => (n > 0 ? [text] : [])

/** What became of an upload, for a person: the refused rows first, the totals last. */
export function uploadLines(status: UploadStatus, fileName: string): string[] {
  if (status.state === 'failed')
    return [
      `${fileName} was refused as a whole. ${printable(status.failure ?? 'The service gave no reason.')}`,
    ]
  const { surveysAccepted, surveysAlreadyThere, surveysHeld, rowsRefused } = status
  return [
    ...refusedBlock(status.refused),
    ...ignored(fileName, status.ignoredColumns),
    `${[
      `${fileName}: ${counted(surveysAccepted, 'survey')} taken in`,
      ...some(surveysAlreadyThere, `${surveysAlreadyThere} there already`),
      ...some(surveysHeld, `${surveysHeld} held until somebody matches the electrode`),
      ...some(rowsRefused, `${counted(rowsRefused, 'row')} refused`),
    ].join(', ')}.`,
  ]
}

const SHOWN_UNKNOWN = 10

/** What became of a table of the register. */
export function tableLines(status: TableStatus, fileName: string): string[] {
  const { created, changed, same, released, rowsRefused, unknownElectrodes: unknown } = status
  const more = unknown.length - SHOWN_UNKNOWN
  const names = [...unknown.slice(0, SHOWN_UNKNOWN).map(printable), ...some(more, `${more} more`)]
  return [
    ...refusedBlock(status.refused),
    ...ignored(fileName, status.ignoredColumns),
    ...some(unknown.length, `Not in the register of electrodes yet: ${listed(names)}.`),
    `${[
      `${fileName}: ${created} new, ${changed} changed, ${same} as before`,
      ...some(released, `${counted(released, 'held survey')} judged now`),
      ...some(rowsRefused, `${counted(rowsRefused, 'row')} refused`),
    ].join(', ')}.`,
  ]
}
