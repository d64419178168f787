import * as z from 'zod'
import type { Calibration, Limit, Work } from '../../../shared-lib/survey/register.ts'
import {
  calibrationSchema,
  limitSchema,
  parseCalibration,
  parseLimit,
  parseWork,
  workSchema,
} from '../../../shared-lib/survey/schema.ts'
import { barToRegister } from '../access.ts'
import { type ProblemPart, problem } from '../problems.ts'
import { writeCalibrations, writeLimits, writeWorks } from '../register-writes.ts'
import { jsonParts } from './json-parts.ts'
import { apiRoute } from './route.ts'
import { withPathId } from './with-path-id.ts'

/** Calibrations, limits and works: dated entries of the register. Each address takes one entry or a list. */

const MOST_ENTRIES = 500
const oneOrMany = (entry: z.ZodType) => z.union([entry, z.array(entry).max(MOST_ENTRIES)])

const written = z
  .object({ created: z.number(), changed: z.number(), same: z.number() })
  .meta({ id: 'RegisterWritten' })

type ParseEntry<T> = (
  json: unknown,
) => { ok: true; item: T } | { ok: false; problems: Parameters<typeof jsonParts>[0] }

/** All entries of the body, or everything that is wrong with any of them: nothing is written then. */
function readEntries<T>(
  body: unknown,
  parse: ParseEntry<T>,
  path?: { key: keyof T & string; id: string },
): { items: T[] } | { parts: ProblemPart[] } {
  const many = Array.isArray(body)
  const list = many ? (body as unknown[]) : [body]
  if (list.length > MOST_ENTRIES)
    return {
      parts: [
        {
          pointer: '',
          code: 'too-many',
          detail: `Send ${MOST_ENTRIES} entries at most, or a CSV to /api/register.`,
        },
      ],
    }
  const parts: ProblemPart[] = []
  const items: T[] = []
  list.forEach((entry, index) => {
    const under = many ? [index] : []
    const read = parse(path ? withPathId(entry, path.key, path.id) : entry)
    if (!read.ok) parts.push(...jsonParts(read.problems, under))
    else if (path && read.item[path.key] !== path.id)
      parts.push(
        ...jsonParts(
          [
            {
              path: [path.key],
              code: 'out-of-range',
              problem: 'Give the id of the address, or leave it out.',
            },
          ],
          under,
        ),
      )
    else items.push(read.item)
  })
  return parts.length > 0 ? { parts } : { items }
}

const putInstrument = apiRoute({
  method: 'put',
  path: '/api/instruments/:id',
  summary: 'Record calibrations of an instrument, one entry a calibration; tests since then are judged anew',
  roles: ['admin'],
  fleetWide: true,
  uncheckedJson: oneOrMany(calibrationSchema.partial({ instrumentId: true })).meta({ id: 'Calibrations' }),
  answers: { 200: { description: 'Written', schema: written } },
  async handle({ c, deps, body }) {
    const read = readEntries<Calibration>(body, parseCalibration, {
      key: 'instrumentId',
      id: c.req.param('id')!,
    })
    if ('parts' in read) return problem(c, 'not-as-described', { errors: read.parts })
    return c.json(await writeCalibrations(deps, read.items))
  },
})

const putLimits = apiRoute({
  method: 'put',
  path: '/api/limits/:electrodeId',
  summary: 'Add limits of an electrode, or replace those of the same purpose, connection and date',
  roles: ['admin'],
  uncheckedJson: oneOrMany(limitSchema.partial({ electrodeId: true })).meta({ id: 'Limits' }),
  answers: { 200: { description: 'Written', schema: written } },
  problems: ['not-found'],
  async handle({ c, deps, person, body }) {
    const id = c.req.param('electrodeId')!
    const record = await deps.ledger.getElectrode(id)
    if (!record) return problem(c, 'not-found', { detail: 'No electrode of the register has this id.' })
    const barred = barToRegister(person, record.electrode.siteId)
    if (barred) return problem(c, barred)
    const read = readEntries<Limit>(body, parseLimit, { key: 'electrodeId', id })
    if ('parts' in read) return problem(c, 'not-as-described', { errors: read.parts })
    const { unknown: _, ...tally } = await writeLimits(deps, read.items)
    return c.json(tally)
  },
})

const postWorks = apiRoute({
  method: 'post',
  path: '/api/works',
  summary: 'Record work done on an electrode; a repair starts a new baseline',
  roles: ['admin'],
  uncheckedJson: oneOrMany(workSchema).meta({ id: 'Works' }),
  answers: {
    200: { description: 'Nothing new', schema: written },
    201: { description: 'Recorded', schema: written },
  },
  async handle({ c, deps, person, body }) {
    const read = readEntries<Work>(body, parseWork)
    if ('parts' in read) return problem(c, 'not-as-described', { errors: read.parts })
    const records = await deps.ledger.getElectrodes([...new Set(read.items.map((w) => w.electrodeId))])
    const parts: ProblemPart[] = []
    for (const [index, work] of read.items.entries()) {
      const record = records.get(work.electrodeId)
      if (!record)
        parts.push({
          pointer: `${Array.isArray(body) ? `/${index}` : ''}/electrodeId`,
          code: 'unknown-electrode',
          detail: `No electrode "${work.electrodeId}" is in the register. Check the id, or register it first.`,
        })
      const barred = record && barToRegister(person, record.electrode.siteId)
      if (barred) return problem(c, barred)
    }
    if (parts.length > 0) return problem(c, 'not-as-described', { errors: parts })
    const { unknown: _, ...tally } = await writeWorks(deps, read.items)
    return c.json(tally, tally.created > 0 ? 201 : 200)
  },
})

export const bookRoutes = [putInstrument, putLimits, postWorks]
