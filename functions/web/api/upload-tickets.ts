import { randomBytes } from 'node:crypto'
import { jwtVerify, SignJWT } from 'jose'
import * as z from 'zod'
import { type Person, ROLES } from '../../../shared-lib/ports/identity.ts'
import type { GivenOptions } from './upload-options.ts'

/** Time to begin sending; the sending itself may take longer. */
export const TICKET_LIFE_S = 15 * 60

/** What a ticket allows: one file, for this person, read with these options. */
interface Ticket {
  uploadId: string
  person: Person
  fileName: string
  /** As declared: a column map by its name is looked up when the file comes. */
  options: GivenOptions
}

const claims = z.object({
  uploadId: z.string(),
  person: z.object({
    id: z.string(),
    name: z.string(),
    email: z.string().optional(),
    role: z.enum(ROLES),
    sites: z.union([z.literal('*'), z.array(z.string())]),
  }),
  fileName: z.string(),
  options: z.object({
    decimalSign: z.string().optional(),
    datePattern: z.string().optional(),
    columnMap: z.string().optional(),
  }),
})

export interface UploadTickets {
  issue(ticket: Ticket, nowMs: number): Promise<string>
  /** Null when forged, damaged, for another upload, or expired. */
  read(token: string, uploadId: string, nowMs: number): Promise<Ticket | null>
}

/**
 * Signed tickets for a direct upload. The key lives as long as the process: a ticket does not outlast a restart, and whoever holds
 * one then asks for another.
 */
export function createUploadTickets(): UploadTickets {
  const key = randomBytes(32)
  return {
    issue: (ticket, nowMs) =>
      new SignJWT({ ...ticket })
        .setProtectedHeader({ alg: 'HS256' })
        .setAudience('upload')
        .setExpirationTime(Math.floor(nowMs / 1000) + TICKET_LIFE_S)
        .sign(key),
    async read(token, uploadId, nowMs) {
      try {
        const { payload } = await jwtVerify(token, key, {
          algorithms: ['HS256'],
          audience: 'upload',
          currentDate: new Date(nowMs),
          requiredClaims: ['exp'],
        })
        const ticket = claims.safeParse(payload)
        return ticket.success && ticket.data.uploadId === uploadId ? (ticket.data as Ticket) : null
      } catch {
        return null
      }
    },
  }
}
