import { openAsBlob } from 'node:fs'
import * as z from 'zod'
import { CannotRun } from '../exit-status.ts'
import type { InputFile } from '../files/input-file.ts'
import { refusalText, type Service } from './service.ts'

/** Larger files do not go through the service but where its ticket says (contract: 4 MB). */
export const DIRECT_BYTES = 4_000_000
/** Sending is slow on a phone's connection; giving up early would only send it all again. */
const SEND_TIMEOUT_MS = 15 * 60_000
const ASK_TIMEOUT_MS = 30_000

/** What `POST /api/uploads/ticket` answers: where and how the bytes go. */
const ticketAnswer = z.looseObject({
  id: z.string(),
  url: z.string(),
  method: z.enum(['PUT', 'POST']).default('PUT'),
  headers: z.record(z.string(), z.string()).default({}),
})
const uploadAnswer = z.looseObject({ id: z.string() })

/** How the cells are to be read, as declared with an upload. */
export interface ReadingOptions {
  decimalSign?: string
  datePattern?: string
  /** Name of a column map the service keeps. */
  columnMap?: string
}

function queryOf(file: InputFile, options: ReadingOptions): string {
  const words = new URLSearchParams({ fileName: file.fileName })
  for (const [name, value] of Object.entries(options)) if (value !== undefined) words.set(name, value)
  return words.toString()
}

/**
 * Hands a CSV in and returns the upload's id. Safe to repeat: surveys that have arrived are not stored twice. Throws
 * {@link CannotRun} with the service's own words when it does not take the file.
 */
export async function sendFile(service: Service, file: InputFile, options: ReadingOptions): Promise<string> {
  if (file.byteLength > DIRECT_BYTES) return sendByTicket(service, file, options)
  const answer = await service.ask({
    method: 'POST',
    path: `api/uploads?${queryOf(file, options)}`,
    headers: { 'content-type': 'text/csv' },
    body: () => openAsBlob(file.path),
    timeoutMs: SEND_TIMEOUT_MS,
  })
  // Another limit than the contract's: the service says so, and the ticket is the way.
  if (answer.status === 413) return sendByTicket(service, file, options)
  const read = uploadAnswer.safeParse(answer.body)
  if (answer.status !== 202 || !read.success) throw new CannotRun(refusalText(answer))
  return read.data.id
}

async function sendByTicket(service: Service, file: InputFile, options: ReadingOptions): Promise<string> {
  const asked = await service.ask({
    method: 'POST',
    path: 'api/uploads/ticket',
    headers: { 'content-type': 'application/json' },
    body: async () => JSON.stringify({ fileName: file.fileName, byteLength: file.byteLength, ...options }),
    timeoutMs: ASK_TIMEOUT_MS,
  })
  const ticket = ticketAnswer.safeParse(asked.body)
  if (asked.status >= 300 || !ticket.success) throw new CannotRun(refusalText(asked))
  const { id, url, method, headers } = ticket.data
  const sent = await service.ask({
    method,
    path: url,
    headers: { 'content-type': 'text/csv', ...headers },
    body: () => openAsBlob(file.path),
    timeoutMs: SEND_TIMEOUT_MS,
  })
  if (sent.status >= 300) throw new CannotRun(refusalText(sent))
  return id
}
