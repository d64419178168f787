import * as z from 'zod'
import type { Upload } from '../../../shared-lib/ledger/kept/upload.ts'
import { problem } from '../problems.ts'
import { receiveUpload, seesUpload } from '../receive-upload.ts'
import { refusedRow } from './answer-schemas.ts'
import { readFile } from './read-file.ts'
import { type ApiRoute, apiRoute } from './route.ts'
import { readOptions, uploadOptions, uploadOptionsInAddress } from './upload-options.ts'
import { createUploadTickets, TICKET_LIFE_S } from './upload-tickets.ts'

/** A ticket's file is streamed to the archive, so this bounds the disk it may take, not memory. */
const MOST_TICKET_BYTES = 256_000_000
const REFUSED_INLINE = 1000

const uploadState = z
  .object({
    id: z.string(),
    state: z
      .enum(['draft', 'received', 'working', 'done', 'failed'])
      .describe('`draft`: looked through on a page, not handed in.'),
    fileName: z.string(),
    receivedAt: z.string(),
    finishedAt: z.string().optional(),
    failure: z.string().optional().describe('Why the whole file failed.'),
    rowsRead: z.number(),
    rowsTotal: z.number().nullable(),
    surveysAccepted: z.number(),
    surveysAlreadyThere: z.number(),
    surveysHeld: z.number(),
    surveysRefused: z.number(),
    rowsRefused: z.number(),
    ignoredColumns: z.array(z.string()),
    refused: z.array(refusedRow).describe(`The first ${REFUSED_INLINE}, or those after the cursor.`),
    next: z.string().nullable().describe('Cursor for further refused rows.'),
  })
  .meta({ id: 'Upload' })

/** A ticket travels in an address, and servers take some 16 kB of that and all headers together. */
const MOST_MAP_IN_ADDRESS = 4000
const MAP_TOO_LONG = {
  pointer: '/columnMap',
  code: 'too-long',
  detail: 'Save this column map with PUT /api/column-maps/{name} and give its name here.',
}

const started = z.object({ id: z.string(), state: z.literal('received') }).meta({ id: 'UploadStarted' })
const csv = z.string().describe('The CSV, as it is')
const form = z.object({ file: z.string().meta({ format: 'binary' }), ...uploadOptions })
const fileQuery = z.strictObject({ ...uploadOptionsInAddress, fileName: z.string().max(200).optional() })

const ticketAnswer = z
  .object({
    id: z.string(),
    method: z
      .enum(['PUT', 'POST'])
      .describe(
        'PUT: the file is the whole body. POST: a multipart form, `fields` first, then the file as `file`.',
      ),
    url: z.string(),
    headers: z.record(z.string(), z.string()),
    fields: z.record(z.string(), z.string()).optional(),
    maxBytes: z.number(),
    expiresAt: z.string(),
  })
  .meta({ id: 'UploadTicket' })

const startedAnswer = (upload: Upload) => ({ id: upload.id, state: 'received' as const })
const tooLargeWords = (bytes: number) => ({
  detail: `A file sent here may have ${bytes} bytes. For a larger one ask for a ticket with POST /api/uploads/ticket, or split it.`,
})
const EMPTY = {
  errors: [{ pointer: '', code: 'empty-file', detail: 'The file is empty. Send one with a heading row.' }],
}

const send = apiRoute({
  method: 'post',
  path: '/api/uploads',
  summary: 'Hand in a CSV of surveys; follow it with GET /api/uploads/{id}',
  query: fileQuery,
  reads: { 'text/csv': csv, 'multipart/form-data': form },
  answers: { 202: { description: 'Kept; it is being read', schema: started } },
  problems: ['too-large', 'media-type', 'not-readable'],
  async handle({ c, deps, person, query }) {
    const mostBytes = deps.settings.maxUploadBytes
    const sent = await readFile(c, mostBytes, query)
    if ('problem' in sent)
      return problem(c, sent.problem, sent.problem === 'too-large' ? tooLargeWords(mostBytes) : sent.words)
    const read = await readOptions(deps.ledger, sent.options)
    if ('troubles' in read) return problem(c, 'not-as-described', { errors: read.troubles })
    const done = await receiveUpload(deps, person, {
      fileName: sent.fileName.slice(0, 200),
      bytes: sent.bytes,
      options: { ...read.options },
      mostBytes,
    })
    if (done.kind === 'too-large') return problem(c, 'too-large', tooLargeWords(mostBytes))
    if (done.kind === 'empty') return problem(c, 'not-as-described', EMPTY)
    return c.json(startedAnswer(done.upload), 202, { Location: `/api/uploads/${done.upload.id}` })
  },
})

const follow = apiRoute({
  method: 'get',
  path: '/api/uploads/:id',
  summary: 'Progress of an upload, and what was refused',
  query: z.strictObject({ cursor: z.string().min(1).max(4000).optional() }),
  answers: { 200: { description: 'As it stands', schema: uploadState } },
  problems: ['not-found', 'upload-not-yours'],
  async handle({ c, deps, person, query }) {
    const upload = await deps.ledger.getUpload(c.req.param('id')!)
    if (!upload) return problem(c, 'not-found', { detail: 'No upload has this id.' })
    if (!seesUpload(person, upload)) return problem(c, 'upload-not-yours')
    const refused = await deps.ledger.listRefused(upload.id, {
      limit: REFUSED_INLINE,
      ...(query.cursor === undefined ? {} : { cursor: query.cursor }),
    })
    const { id, state, fileName, receivedAt, finishedAt, failure, ignoredColumns } = upload
    const {
      rowsRead,
      rowsTotal,
      surveysAccepted,
      surveysAlreadyThere,
      surveysHeld,
      surveysRefused,
      rowsRefused,
    } = upload
    return c.json({
      ...{ id, state, fileName, receivedAt, finishedAt, failure, rowsRead, rowsTotal },
      ...{ surveysAccepted, surveysAlreadyThere, surveysHeld, surveysRefused, rowsRefused, ignoredColumns },
      refused: refused.items,
      next: refused.next,
    })
  },
})

/** The upload routes; the two that deal in tickets share a signing key. */
export function uploadRoutes(): ApiRoute[] {
  const tickets = createUploadTickets()

  const ticket = apiRoute({
    method: 'post',
    path: '/api/uploads/ticket',
    summary: 'A ticket to send one large CSV directly',
    json: z
      .strictObject({ ...uploadOptions, fileName: z.string().max(200).default('') })
      .meta({ id: 'TicketRequest' }),
    answers: {
      201: { description: 'Send the file to `url` with `method` and `headers`', schema: ticketAnswer },
    },
    async handle({ c, deps, person, body }) {
      const read = await readOptions(deps.ledger, body)
      if ('troubles' in read) return problem(c, 'not-as-described', { errors: read.troubles })
      const nowMs = deps.clock.nowMs()
      const id = deps.newId()
      const { fileName, ...options } = body
      if ((options.columnMap ?? '').length > MOST_MAP_IN_ADDRESS)
        return problem(c, 'not-as-described', { errors: [MAP_TOO_LONG] })
      const common = {
        id,
        maxBytes: MOST_TICKET_BYTES,
        expiresAt: new Date(nowMs + TICKET_LIFE_S * 1000).toISOString(),
      }
      if (deps.directUploads) {
        const { id: by, role, sites } = person
        const form = await deps.directUploads.issue(
          {
            uploadId: id,
            by,
            role,
            sites,
            fileName,
            options: { ...read.options },
            correlationId: c.get('requestId'),
          },
          { mostBytes: MOST_TICKET_BYTES, lifeS: TICKET_LIFE_S },
        )
        return c.json({ ...common, method: 'POST', headers: {}, ...form }, 201)
      }
      const token = await tickets.issue({ uploadId: id, person, fileName, options }, nowMs)
      const answer = {
        ...common,
        method: 'PUT',
        url: `${deps.settings.baseUrl}/api/uploads/${id}/content?ticket=${token}`,
        headers: { 'Content-Type': 'text/csv' },
      }
      return c.json(answer, 201)
    },
  })

  const content = apiRoute({
    method: 'put',
    path: '/api/uploads/:id/content',
    summary: 'Where a ticket leads: the CSV as the whole body',
    open: 'The ticket in the address is signed, for one upload of the person who asked for it, and runs out.',
    query: z.strictObject({ ticket: z.string() }),
    reads: { 'text/csv': csv },
    answers: { 202: { description: 'Kept; it is being read', schema: started } },
    problems: ['ticket-not-good', 'too-large'],
    async handle({ c, deps, query }) {
      const id = c.req.param('id')!
      const read = await tickets.read(query.ticket, id, deps.clock.nowMs())
      if (!read) return problem(c, 'ticket-not-good')
      const tooLarge = { detail: `A file sent with a ticket may have ${MOST_TICKET_BYTES} bytes. Split it.` }
      if (Number(c.req.header('Content-Length') ?? 0) > MOST_TICKET_BYTES)
        return problem(c, 'too-large', tooLarge)
      const before = await deps.ledger.getUpload(id)
      if (before) {
        // Sent again because the first answer was lost; so may the message to intake have been.
        if (before.state === 'received') await deps.intakeQueue.send([{ body: { uploadId: id } }])
        return c.json(startedAnswer(before), 202)
      }
      const declared = await readOptions(deps.ledger, read.options)
      if ('troubles' in declared) return problem(c, 'not-as-described', { errors: declared.troubles })
      const done = await receiveUpload(deps, read.person, {
        id,
        fileName: read.fileName,
        bytes: c.req.raw.body ?? new ReadableStream({ start: (end) => end.close() }),
        options: { ...declared.options },
        mostBytes: MOST_TICKET_BYTES,
      })
      if (done.kind === 'too-large') return problem(c, 'too-large', tooLarge)
      if (done.kind === 'empty') return problem(c, 'not-as-described', EMPTY)
      return c.json(startedAnswer(done.upload), 202, { Location: `/api/uploads/${id}` })
    },
  })

  return [send, ticket, follow, content]
}
