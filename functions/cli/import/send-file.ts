import { openAsBlob } from 'node:fs'
import * as z from 'zod'
import { CannotRun } from '../exit-status.ts'
import type { InputFile } from '../files/input-file.ts'
import type { DeclaredOptions } from './declared-options.ts'
import { refusalText, type Service } from './service.ts'

/** Larger files do not go through the service but where its ticket says (contract: 4 MB). */
const DIRECT_BYTES = 4_000_000
/** Sending is slow on a phone's connection; giving up early would only send it all again. */
export const SEND_TIMEOUT_MS = 15 * 60_000
const ASK_TIMEOUT_MS = 30_000

/** What `POST /api/uploads/ticket` answers: where and how the bytes go. */
const ticketAnswer = z.looseObject({
  id: z.string(),
  url: z.string(),
  method: z.enum(['PUT', 'POST']).default('PUT'),
  headers: z.record(z.string(), z.string()).default({}),
  /** With POST: what goes before the file in the form. */
  fields: z.record(z.string(), z.string()).default({}),
  maxBytes: z.number().optional(),
})
const uploadAnswer = z.looseObject({ id: z.string() })

/**
 * Hands a CSV in and returns the upload's id. Safe to repeat: surveys that have arrived are not stored twice. Throws
 * {@link CannotRun} with the service's own words when it does not take the file.
 */
export async function sendFile(service: Service, file: InputFile, options: DeclaredOptions): Promise<string> {
  if (file.byteLength === 0) throw new CannotRun(`${file.name} is empty. Give a CSV with a heading row.`)
  if (file.byteLength > DIRECT_BYTES) return sendByTicket(service, file, options)
  const query = new URLSearchParams({ fileName: file.fileName, ...options })
  const answer = await service.ask({
    method: 'POST',
    path: `api/uploads?${query}`,
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

async function sendByTicket(service: Service, file: InputFile, options: DeclaredOptions): Promise<string> {
  const asked = await service.ask({
    method: 'POST',
    path: 'api/uploads/ticket',
    headers: { 'content-type': 'application/json' },
    body: async () => JSON.stringify({ fileName: file.fileName, ...options }),
    timeoutMs: ASK_TIMEOUT_MS,
  })
  const ticket = ticketAnswer.safeParse(asked.body)
  if (asked.status >= 300 || !ticket.success) throw new CannotRun(refusalText(asked))
  const { id, url, method, headers, fields, maxBytes } = ticket.data
  if (maxBytes !== undefined && file.byteLength > maxBytes)
    throw new CannotRun(
      `${file.name} has ${file.byteLength} bytes; the service takes ${maxBytes} at once. Split it and hand in the parts.`,
    )
  const sent = await service.ask({
    method,
    path: url,
    headers,
    body: method === 'POST' ? () => formWith(fields, file) : () => openAsBlob(file.path),
    timeoutMs: SEND_TIMEOUT_MS,
  })
  if (sent.status >= 300) throw new CannotRun(refusalText(sent))
  return id
}

/** The form of a direct upload: the archive looks at the fields before the file and at nothing after it. */
async function formWith(fields: Record<string, string>, file: InputFile): Promise<FormData> {
  const form = new FormData()
  for (const [name, value] of Object.entries(fields)) form.append(name, value)
  form.append('file', await openAsBlob(file.path), file.fileName)
  return form
}
