import * as z from 'zod'
import { mergeFindings } from '../../../shared-lib/history/merge-findings.ts'
import type { ElectrodeFile } from '../../../shared-lib/ledger/kept/electrode.ts'
import type { ElectrodeRecord } from '../../../shared-lib/ledger/kept/register.ts'
import { type Person, seesSite } from '../../../shared-lib/ports/identity.ts'
import {
  electrodeSchema,
  limitSchema,
  parseElectrode,
  workSchema,
} from '../../../shared-lib/survey/schema.ts'
import { barToRead, barToRegister } from '../access.ts'
import { problem } from '../problems.ts'
import { writeElectrodes } from '../register-writes.ts'
import { visibleElectrodes } from '../visible-lists.ts'
import { decision, findingItem, series, storedSurvey } from './answer-schemas.ts'
import { askedId } from './asked-id.ts'
import { jsonParts } from './json-parts.ts'
import { PAGING, pageOf } from './paging.ts'
import { apiRoute } from './route.ts'
import { withPathId } from './with-path-id.ts'

const electrodeItem = electrodeSchema
  .extend({ lastTestedAt: z.string().optional(), dueOn: z.string().optional() })
  .meta({ id: 'Electrode' })

const electrodeHistory = electrodeItem
  .extend({
    versions: z.array(z.object({ from: z.string().describe('"" = always'), electrode: electrodeSchema })),
    limits: z.array(limitSchema),
    works: z.array(workSchema),
    surveys: z
      .array(
        storedSurvey.extend({
          siteId: z.string().nullable(),
          receivedAt: z.string(),
          survey: z.looseObject({}),
        }),
      )
      .describe('By test date, with all findings; `survey` is what was handed in.'),
    findings: z.array(findingItem),
    decisions: z.array(decision),
    series,
  })
  .meta({ id: 'ElectrodeHistory' })

const itemOf = ({ electrode, lastTestedAt, dueOn }: ElectrodeRecord) => ({
  ...electrode,
  lastTestedAt,
  dueOn,
})

function historyOf(file: ElectrodeFile) {
  const surveys = [...file.surveys]
    .sort((a, b) => Date.parse(a.survey.testedAt) - Date.parse(b.survey.testedAt))
    .map(({ id, siteId, receivedAt, survey, judged }) => {
      const compared = file.assessment?.findings[survey.surveyRef] ?? []
      const findings = mergeFindings(judged.findings, compared)
      return { id, ...judged, findings, siteId, receivedAt, survey }
    })
  const { limits, works, findings, decisions, assessment } = file
  const { versions } = file.record
  return {
    ...itemOf(file.record),
    ...{ versions, limits, works, surveys, findings, decisions },
    series: assessment?.series ?? [],
  }
}

const listElectrodes = apiRoute({
  method: 'get',
  path: '/api/electrodes',
  summary: 'Electrodes of the register, narrowed to what you may see',
  query: z.strictObject({ ...PAGING, site: askedId }),
  answers: { 200: { description: 'One page', schema: pageOf(electrodeItem) } },
  problems: ['unknown-cursor'],
  async handle({ c, deps, person, query }) {
    if (query.site !== undefined && !seesSite(person, query.site)) return problem(c, 'site-not-allowed')
    const page = await visibleElectrodes(deps, person, {
      limit: query.limit,
      ...(query.cursor === undefined ? {} : { cursor: query.cursor }),
      ...(query.site === undefined ? {} : { siteId: query.site }),
    })
    return page ? c.json({ items: page.items.map(itemOf), next: page.next }) : problem(c, 'unknown-cursor')
  },
})

const getElectrode = apiRoute({
  method: 'get',
  path: '/api/electrodes/:id',
  summary: 'One electrode with its history',
  answers: { 200: { description: 'Everything kept about it', schema: electrodeHistory } },
  problems: ['not-found', 'electrode-not-yours'],
  async handle({ c, deps, person }) {
    const file = await deps.ledger.readElectrodeFile(c.req.param('id')!)
    if (!file) return problem(c, 'not-found', { detail: 'No electrode of the register has this id.' })
    const barred = barToRead(person, file.record.electrode)
    return barred ? problem(c, barred) : c.json(historyOf(file))
  },
})

/** An electrode may be moved only by someone who sees both sites. */
const barToMove = (person: Person, from: string | undefined, to: string) =>
  barToRegister(person, to) ?? (from === undefined ? null : barToRegister(person, from))

const putElectrode = apiRoute({
  method: 'put',
  path: '/api/electrodes/:id',
  summary: 'Register an electrode, or give it new words; earlier words stay in force for earlier tests',
  roles: ['admin'],
  query: z.strictObject({
    validFrom: z
      .union([z.iso.datetime({ offset: true }), z.iso.date()], { error: 'Give a date such as 2026-05-04.' })
      .optional()
      .describe('Since when the words hold; now unless told.'),
  }),
  uncheckedJson: electrodeSchema.partial({ electrodeId: true }).meta({ id: 'ElectrodeWords' }),
  answers: {
    200: { description: 'Changed, or the same as before', schema: electrodeItem },
    201: { description: 'Registered; surveys held for it are stored now', schema: electrodeItem },
  },
  async handle({ c, deps, person, query, body }) {
    const id = c.req.param('id')!
    const read = parseElectrode(withPathId(body, 'electrodeId', id))
    if (!read.ok) return problem(c, 'not-as-described', { errors: jsonParts(read.problems) })
    if (read.item.electrodeId !== id)
      return problem(c, 'not-as-described', {
        errors: [
          {
            pointer: '/electrodeId',
            code: 'other-id',
            detail: 'Give the id of the address, or leave it out.',
          },
        ],
      })
    const before = await deps.ledger.getElectrode(id)
    const barred = barToMove(person, before?.electrode.siteId, read.item.siteId)
    if (barred) return problem(c, barred)
    const { created } = await writeElectrodes(deps, [read.item], query.validFrom)
    const record = await deps.ledger.getElectrode(id)
    return c.json(record ? itemOf(record) : read.item, created > 0 ? 201 : 200)
  },
})

export const electrodeRoutes = [listElectrodes, getElectrode, putElectrode]
