import type { Page, PageRequest } from './page.ts'

export type UploadState = 'draft' | 'received' | 'working' | 'done' | 'failed'

export interface RefusedRow {
  kind: 'refused'
  row: number | null
  column: string | null
  value: string | null
  code: string
  problem: string
  surveyRef?: string
}

interface UploadCounts {
  rowsRead: number
  rowsTotal: number | null
  surveysAccepted: number
  surveysAlreadyThere: number
  surveysHeld: number
  surveysRefused: number
  rowsRefused: number
}

export interface Upload extends UploadCounts {
  id: string
  state: UploadState
  fileName: string
  archiveKey: string
  byteLength: number
  by: string
  role: string
  sites: string[] | '*'
  receivedAt: string
  finishedAt?: string
  /** Reading options declared with the upload (decimal sign, date pattern, column map). */
  options: Record<string, unknown>
  /** Columns not known, named once. */
  ignoredColumns: string[]
  /** Where intake goes on after a crash: surveys already dealt with. */
  checkpoint: number
  /** Why the whole file failed. */
  failure?: string
  /** The upload whose refused rows this one carries, mended. */
  mends?: string
}

/** Uploads with their progress, refused rows and column maps. */
export interface KeptUploads {
  putUpload(upload: Upload): Promise<void>
  /** Keeps a changed or handed-in draft. False when it is no draft any more, or was set aside to be removed. */
  changeDraft(upload: Upload): Promise<boolean>
  /** From now on the draft can no longer be handed in. False when it is no draft any more. */
  setDraftAside(uploadId: string): Promise<boolean>
  /** Removes a draft that was set aside; anything else stays. */
  removeDraft(uploadId: string): Promise<void>
  getUpload(uploadId: string): Promise<Upload | null>
  listUploads(q: PageRequest & { by?: string }): Promise<Page<Upload>>
  /** One checkpoint: counts, refused rows and place, written so that a repeat changes nothing. */
  checkpointUpload(upload: Upload, refused: RefusedRow[]): Promise<void>
  listRefused(uploadId: string, q: PageRequest): Promise<Page<RefusedRow>>
  putColumnMap(name: string, map: Record<string, unknown>): Promise<void>
  listColumnMaps(): Promise<{ name: string; map: Record<string, unknown> }[]>
}
