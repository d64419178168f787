import type { Upload } from './kept/upload.ts'

/** An upload of which nothing has been read yet. */
export function newUpload(
  facts: Pick<
    Upload,
    | 'id'
    | 'state'
    | 'fileName'
    | 'archiveKey'
    | 'byteLength'
    | 'by'
    | 'role'
    | 'sites'
    | 'receivedAt'
    | 'options'
  >,
): Upload {
  return {
    ...facts,
    ignoredColumns: [],
    checkpoint: 0,
    rowsRead: 0,
    rowsTotal: null,
    surveysAccepted: 0,
    surveysAlreadyThere: 0,
    surveysHeld: 0,
    surveysRefused: 0,
    rowsRefused: 0,
  }
}
