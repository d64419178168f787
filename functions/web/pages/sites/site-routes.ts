import type { Hono } from 'hono'
import { seesSite } from '../../../../shared-lib/ports/identity.ts'
import { csvText } from '../../csv-answer.ts'
import type { WebDeps } from '../../deps.ts'
import { readFleet } from '../../read-fleet.ts'
import { visibleElectrodes, visibleFindings } from '../../visible-lists.ts'
import type { WebEnv } from '../../web-env.ts'
import { office } from '../office.ts'
import { type PageCall, pathPart, queryPart, respond, respondProblem, signedIn } from '../respond.ts'
import { paths } from '../view/paths.ts'
import { registerCompliance } from './compliance-routes.ts'

const PAGE_SIZE = 50

/** The sites a person sees, and one of them. */
export function registerSites(app: Hono<WebEnv>, deps: WebDeps): void {
  app.get(paths.sites, signedIn(deps, list))
  app.get(paths.sitesCsv, signedIn(deps, exportList))
  app.get('/sites/:id', signedIn(deps, one))
  registerCompliance(app, deps)
}

async function list({ c, deps, person, frame }: PageCall): Promise<Response> {
  const { fleetPage } = await office()
  const body = fleetPage(await readFleet(deps, person), {
    operatorName: frame.operatorName,
    printedBy: person.name,
    printedAt: new Date(frame.nowMs).toISOString(),
  })
  return respond(c, frame, { title: 'Sites', section: paths.sites, body })
}

async function exportList({ c, deps, person }: PageCall): Promise<Response> {
  const { fleetCsv } = await office()
  return csvText(c, 'sites.csv', fleetCsv(await readFleet(deps, person)))
}

async function one(call: PageCall): Promise<Response> {
  const { c, deps, person, frame } = call
  const siteId = pathPart(c, 'id')
  if (!seesSite(person, siteId)) return respondProblem(c, deps, 'site-not-allowed')
  const cursor = queryPart(c, 'cursor')
  const [electrodes, openFindings, soilSurveys, file] = await Promise.all([
    visibleElectrodes(deps, person, {
      limit: PAGE_SIZE,
      siteId,
      ...(cursor === undefined ? {} : { cursor }),
    }),
    visibleFindings(deps, person, { limit: 5, siteId, state: 'open' }),
    deps.ledger.listSurveysOf({ kind: 'site', id: siteId }),
    deps.ledger.readSite(siteId),
  ])
  if (!electrodes || !openFindings) return respondProblem(c, deps, 'unknown-cursor')
  const today = new Date(frame.nowMs).toISOString().slice(0, 10)
  const { sitePage, summariseSite } = await office()
  const body = sitePage({
    siteId,
    electrodes,
    openFindings,
    soilSurveys,
    summary: summariseSite(file, person, today),
    query: cursor === undefined ? {} : { cursor },
    nowMs: frame.nowMs,
  })
  return respond(c, frame, { title: `Site ${siteId}`, section: paths.sites, body })
}
