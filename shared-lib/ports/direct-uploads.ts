import * as z from 'zod/mini'
import { ROLES } from './identity.ts'

/**
 * The direct-upload port: a large file goes to the archive without passing through a function. What it is and who sends it is
 * written down first, as a ticket beside the place it will have.
 */

export const directTicket = z.object({
  uploadId: z.string(),
  /** Who asked for it; no name and no address. */
  by: z.string(),
  role: z.enum(ROLES),
  sites: z.union([z.literal('*'), z.array(z.string())]),
  fileName: z.string(),
  /** Reading options, a column map in full. */
  options: z.record(z.string(), z.unknown()),
  correlationId: z.optional(z.string()),
})
export type DirectTicket = z.output<typeof directTicket>

/** How the file is sent: one `multipart/form-data` POST with these fields first and the file last, in a field named `file`. */
interface DirectForm {
  url: string
  fields: Record<string, string>
}

export interface DirectUploads {
  /** Takes files of 1 to `mostBytes` bytes until `lifeS` from now. */
  issue(ticket: DirectTicket, limits: { mostBytes: number; lifeS: number }): Promise<DirectForm>
}

/** Where a direct upload's file and its ticket are in the archive. */
export const DIRECT_FOLDER = 'direct/'
export const directKey = (uploadId: string): string => `${DIRECT_FOLDER}${uploadId}`
export const ticketKey = (uploadId: string): string => `tickets/${uploadId}.json`
