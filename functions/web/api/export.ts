import * as z from 'zod'
import { seesSite } from '../../../shared-lib/ports/identity.ts'
import { barToRead } from '../access.ts'
import { answerExport } from '../exports/answer-export.ts'
import { EXPORT_NOT_FOUND, findExport, leadToFile } from '../exports/fetch-export.ts'
import { jobAnswer } from '../exports/job-answer.ts'
import { REGISTER_TABLES } from '../load-register-table.ts'
import { problem } from '../problems.ts'
import { askedId } from './asked-id.ts'
import { apiRoute } from './route.ts'

const job = z
  .object({
    id: z.string(),
    kind: z.string(),
    query: z.record(z.string(), z.string()).describe('How it was narrowed when it was asked for'),
    state: z.enum(['waiting', 'making', 'ready', 'failed']),
    askedAt: z.string(),
    finishedAt: z.string().optional(),
    byteLength: z.number().optional(),
    failure: z.string().optional().describe('Why there is no file and what to do instead'),
    keptUntil: z.string(),
    file: z.string().nullable().describe('Where the file is; null while there is none'),
  })
  .meta({ id: 'ExportJob' })

const LATER =
  'Longer than one answer (4 MB, in the cloud only): it is made as a file. Location says where to ask when it is ready.'

const NOT_YOURS = { detail: EXPORT_NOT_FOUND }

const exportSurveys = apiRoute({
  method: 'get',
  path: '/api/export/surveys.csv',
  summary: 'Every survey you may see, in the long form they can be handed in again',
  query: z.strictObject({ site: askedId, electrode: askedId }),
  answers: {
    200: { description: 'The surveys', contentType: 'text/csv', schema: z.string() },
    202: { description: LATER, schema: job },
  },
  problems: ['not-found', 'electrode-not-yours'],
  async handle({ c, deps, person, query }) {
    const { site, electrode } = query
    if (site !== undefined && !seesSite(person, site)) return problem(c, 'site-not-allowed')
    if (electrode === undefined)
      return answerExport(c, deps, person, { kind: 'surveys', query: site === undefined ? {} : { site } })
    const record = await deps.ledger.getElectrode(electrode)
    if (!record) return problem(c, 'not-found', { detail: 'No electrode of the register has this id.' })
    const barred = barToRead(person, record.electrode)
    if (barred) return problem(c, barred)
    return answerExport(c, deps, person, { kind: 'surveys', query: { electrode } })
  },
})

const exportRegister = apiRoute({
  method: 'get',
  path: '/api/export/register.csv',
  summary: 'A table of the register as far as you may see it, with the columns that POST /api/register loads',
  query: z.strictObject({
    table: z.enum(REGISTER_TABLES).default('electrodes'),
    site: askedId.describe('Instruments belong to no site: all of them are sent.'),
  }),
  answers: {
    200: { description: 'The table', contentType: 'text/csv', schema: z.string() },
    202: { description: LATER, schema: job },
  },
  async handle({ c, deps, person, query: { table, site } }) {
    if (site !== undefined && !seesSite(person, site)) return problem(c, 'site-not-allowed')
    const narrowed: Record<string, string> = site === undefined || table === 'instruments' ? {} : { site }
    return answerExport(c, deps, person, { kind: table, query: narrowed })
  },
})

const followExport = apiRoute({
  method: 'get',
  path: '/api/exports/:id',
  summary: 'Whether an export that is made as a file is ready',
  answers: { 200: { description: 'As it stands', schema: job } },
  problems: ['not-found'],
  async handle({ c, deps, person }) {
    const found = await findExport(deps, person, c.req.param('id')!)
    return found ? c.json(jobAnswer(found)) : problem(c, 'not-found', NOT_YOURS)
  },
})

const fetchExport = apiRoute({
  method: 'get',
  path: '/api/exports/:id/file',
  summary: 'The file of an export: leads to an address that is good for a minute',
  answers: { 303: { description: 'Location is the file. It needs no token; send none along.' } },
  problems: ['not-found'],
  async handle({ c, deps, person }) {
    const found = await findExport(deps, person, c.req.param('id')!)
    const address = found && (await leadToFile(deps, found))
    return address ? c.redirect(address, 303) : problem(c, 'not-found', NOT_YOURS)
  },
})

export const exportRoutes = [exportSurveys, exportRegister, followExport, fetchExport]
