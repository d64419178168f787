import * as z from 'zod'
import { type Person, seesSite } from '../../../shared-lib/ports/identity.ts'
import {
  readCalibrations,
  readElectrodes,
  readLimits,
  readWorks,
} from '../../../shared-lib/survey/read-register.ts'
import type { Refused } from '../../../shared-lib/survey/refused.ts'
import { sourceOf } from '../../../shared-lib/survey/source.ts'
import type { WebDeps } from '../deps.ts'
import { problem } from '../problems.ts'
import {
  type WriteTally,
  writeCalibrations,
  writeElectrodes,
  writeLimits,
  writeWorks,
} from '../register-writes.ts'
import { refusedRow } from './answer-schemas.ts'
import { readFile } from './read-file.ts'
import { apiRoute } from './route.ts'
import { type ReadingOptions, readOptions, uploadOptions, uploadOptionsInAddress } from './upload-options.ts'

const TABLES = ['electrodes', 'limits', 'instruments', 'works'] as const
type TableName = (typeof TABLES)[number]

interface Loaded extends WriteTally {
  refused: Refused[]
  ignoredColumns: string[]
  /** Surveys that had waited for one of the electrodes. */
  released?: number
  /** Electrodes of the table that are not in the register yet. */
  unknownElectrodes?: string[]
}
/** A site of the file that is not the person's: nothing was written. */
type OtherSite = { siteOf: string }

/** The first electrode that belongs to a site the person does not see, or null. */
async function strange(deps: WebDeps, person: Person, electrodeIds: string[]): Promise<string | null> {
  if (person.sites === '*') return null
  const found = await deps.ledger.getElectrodes([...new Set(electrodeIds)])
  const mine = (id: string) => seesSite(person, found.get(id)?.electrode.siteId ?? '')
  return electrodeIds.find((id) => !mine(id)) ?? null
}

async function load(
  deps: WebDeps,
  person: Person,
  table: TableName,
  bytes: Uint8Array,
  options: ReadingOptions,
  validFrom: string | undefined,
): Promise<Loaded | OtherSite> {
  const source = sourceOf(bytes)
  if (table === 'electrodes') {
    const { items, refused, unknownColumns } = await readElectrodes(source, options)
    const other = items.find((e) => !seesSite(person, e.siteId))
    if (other) return { siteOf: other.electrodeId }
    const known =
      person.sites === '*' ? new Map() : await deps.ledger.getElectrodes(items.map((e) => e.electrodeId))
    const moved = [...known.values()].find((record) => !seesSite(person, record.electrode.siteId))
    if (moved) return { siteOf: moved.electrode.electrodeId }
    return { ...(await writeElectrodes(deps, items, validFrom)), refused, ignoredColumns: unknownColumns }
  }
  if (table === 'instruments') {
    const { items, refused, unknownColumns } = await readCalibrations(source, options)
    return { ...(await writeCalibrations(deps, items)), refused, ignoredColumns: unknownColumns }
  }
  const isLimits = table === 'limits'
  const limits = isLimits ? await readLimits(source, options) : null
  const works = isLimits ? null : await readWorks(source, options)
  const { refused, unknownColumns, items } = (limits ?? works)!
  const other = await strange(
    deps,
    person,
    items.map((entry) => entry.electrodeId),
  )
  if (other) return { siteOf: other }
  const { unknown, ...tally } = limits
    ? await writeLimits(deps, limits.items)
    : await writeWorks(deps, works!.items)
  return { ...tally, refused, ignoredColumns: unknownColumns, unknownElectrodes: unknown }
}

const loaded = z
  .object({
    table: z.enum(TABLES),
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
    table: z.enum(TABLES).default('electrodes'),
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
  problems: ['too-large', 'media-type', 'not-readable', 'file-refused'],
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
    const done = await load(deps, person, query.table, Buffer.concat(chunks), read.options, query.validFrom)
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
