import * as z from 'zod'
import type { ElectrodeRecord } from '../../../shared-lib/ledger/kept/register.ts'
import type { SurveyRecord } from '../../../shared-lib/ledger/kept/survey.ts'
import { type Person, seesSite } from '../../../shared-lib/ports/identity.ts'
import { surveyCsvHeader, surveyCsvRows } from '../../../shared-lib/survey/write-csv.ts'
import { barToRead, seesOnlyNamed } from '../access.ts'
import { csvParts } from '../csv-answer.ts'
import type { WebDeps } from '../deps.ts'
import { problem } from '../problems.ts'
import { visibleElectrodes } from '../visible-lists.ts'
import { askedId } from './asked-id.ts'
import { apiRoute } from './route.ts'

const PAGE = 100
/** Electrodes whose files are read at the same time. */
const AT_ONCE = 8
const TOO_MUCH =
  'Ask for one site after the other (?site=, the sites are at /api/sites), or for one electrode (?electrode=). Nothing of it was sent.'

function rowsOf(surveys: readonly SurveyRecord[]): string {
  return [...surveys]
    .sort((a, b) => Date.parse(a.survey.testedAt) - Date.parse(b.survey.testedAt))
    .map(({ survey }) => surveyCsvRows(survey))
    .join('')
}

async function* electrodesOf(
  deps: WebDeps,
  person: Person,
  siteId?: string,
): AsyncGenerator<ElectrodeRecord[]> {
  for (let cursor: string | null | undefined; cursor !== null; ) {
    const page = await visibleElectrodes(deps, person, {
      limit: PAGE,
      ...(cursor === undefined ? {} : { cursor }),
      ...(siteId === undefined ? {} : { siteId }),
    })
    if (!page) return
    yield page.items
    cursor = page.next
  }
}

/** Surveys about a site's soil or an instrument, which have no electrode. An engineer who is named for electrodes has none. */
async function* surveysApart(deps: WebDeps, person: Person, siteId?: string): AsyncGenerator<SurveyRecord[]> {
  if (seesOnlyNamed(person)) return
  for (const site of await deps.ledger.listSites())
    if (seesSite(person, site.siteId) && (siteId === undefined || site.siteId === siteId))
      yield deps.ledger.listSurveysOf({ kind: 'site', id: site.siteId })
  if (siteId !== undefined || person.sites !== '*') return
  const instruments = new Set((await deps.ledger.listCalibrations()).map((k) => k.instrumentId))
  for (const id of instruments) yield deps.ledger.listSurveysOf({ kind: 'instrument', id })
}

/** The export in pieces of a few electrodes: memory does not grow with the fleet. */
async function* exportCsv(deps: WebDeps, person: Person, siteId?: string): AsyncGenerator<string> {
  yield surveyCsvHeader()
  for await (const records of electrodesOf(deps, person, siteId))
    for (let at = 0; at < records.length; at += AT_ONCE) {
      const ids = records.slice(at, at + AT_ONCE).map((r) => r.electrode.electrodeId)
      const files = await Promise.all(ids.map((id) => deps.ledger.readElectrodeFile(id)))
      const rows = files.map((file) => rowsOf(file?.surveys ?? [])).join('')
      if (rows !== '') yield rows
    }
  for await (const surveys of surveysApart(deps, person, siteId))
    if (surveys.length > 0) yield rowsOf(surveys)
}

async function* exportElectrode(deps: WebDeps, electrodeId: string): AsyncGenerator<string> {
  yield surveyCsvHeader()
  const file = await deps.ledger.readElectrodeFile(electrodeId)
  yield rowsOf(file?.surveys ?? [])
}

const exportSurveys = apiRoute({
  method: 'get',
  path: '/api/export/surveys.csv',
  summary: 'Every survey you may see, in the long form they can be handed in again',
  query: z.strictObject({ site: askedId, electrode: askedId }),
  answers: { 200: { description: 'The surveys', contentType: 'text/csv', schema: z.string() } },
  problems: ['not-found', 'electrode-not-yours', 'too-much-to-send'],
  async handle({ c, deps, person, query }) {
    if (query.site !== undefined && !seesSite(person, query.site)) return problem(c, 'site-not-allowed')
    let parts = exportCsv(deps, person, query.site)
    if (query.electrode !== undefined) {
      const record = await deps.ledger.getElectrode(query.electrode)
      if (!record) return problem(c, 'not-found', { detail: 'No electrode of the register has this id.' })
      const barred = barToRead(person, record.electrode)
      if (barred) return problem(c, barred)
      parts = exportElectrode(deps, query.electrode)
    }
    const whole = await csvParts(c, deps, 'surveys.csv', parts)
    return whole ?? problem(c, 'too-much-to-send', { detail: TOO_MUCH })
  },
})

export const exportRoutes = [exportSurveys]
