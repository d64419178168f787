import * as z from 'zod'
import { loadRegisterTable, REGISTER_TABLES } from '../load-register-table.ts'
import { problem } from '../problems.ts'
import { refusedRow } from './answer-schemas.ts'
import { readFile } from './read-file.ts'
import { apiRoute } from './route.ts'
import { readOptions, uploadOptions, uploadOptionsInAddress } from './upload-options.ts'

const loaded = z
  .object({
    table: z.enum(REGISTER_TABLES),
    created: z.number(),
    changed: z.number(),
    same: z.number(),
    released: z
      .number()
      .optional()
      .describe('Held surveys that waited for one of the electrodes and are stored now.'),
    unknownElectrodes: z.array(z.string()).optional(),
    rowsRefused: z.number(),
    refused: z.array(refusedRow),
    ignoredColumns: z.array(z.string()),
  })
  .meta({ id: 'RegisterLoaded' })

const loadRegister = apiRoute({
  method: 'post',
  path: '/api/register',
  summary: 'Load a table of the register from CSV. A refused row is left out, the others stand',
  roles: ['admin'],
  query: z.strictObject({
    ...uploadOptionsInAddress,
    fileName: z.string().max(200).optional(),
    table: z.enum(REGISTER_TABLES).default('electrodes'),
    validFrom: z
      .union([z.iso.datetime({ offset: true }), z.iso.date()], { error: 'Give a date such as 2026-05-04.' })
      .optional()
      .describe('Since when the words of the electrodes hold; now unless told.'),
  }),
  reads: {
    'text/csv': z.string().describe('The table, as it is'),
    'multipart/form-data': z.object({ file: z.string().meta({ format: 'binary' }), ...uploadOptions }),
  },
  answers: { 200: { description: 'What was written and what was refused', schema: loaded } },
  problems: ['all-sites-needed', 'too-large', 'media-type', 'not-readable', 'file-refused'],
  async handle({ c, deps, person, query }) {
    const sent = await readFile(c, deps.settings.maxUploadBytes, query)
    if ('problem' in sent) return problem(c, sent.problem, sent.words)
    const read = await readOptions(deps.ledger, sent.options)
    if ('troubles' in read) return problem(c, 'not-as-described', { errors: read.troubles })
    const chunks: Uint8Array[] = []
    let length = 0
    for await (const chunk of sent.bytes) {
      length += chunk.byteLength
      if (length > deps.settings.maxUploadBytes)
        return problem(c, 'too-large', {
          detail: `A table may have ${deps.settings.maxUploadBytes} bytes. Split it.`,
        })
      chunks.push(chunk)
    }
    const done = await loadRegisterTable(
      deps,
      person,
      query.table,
      Buffer.concat(chunks),
      read.options,
      query.validFrom,
    )
    if ('barred' in done) return problem(c, done.barred)
    if ('siteOf' in done)
      return problem(c, 'site-not-allowed', {
        detail: `Electrode "${done.siteOf}" is not at one of your sites. Nothing of the file was written.`,
      })
    const { refused, ...rest } = done
    if (refused.some((r) => r.row === null)) return problem(c, 'file-refused', { extra: { refused } })
    return c.json({
      table: query.table,
      ...rest,
      rowsRefused: new Set(refused.map((r) => r.row)).size,
      refused,
    })
  },
})

export const registerRoutes = [loadRegister]
