import type { Hono } from 'hono'
import { seesSite } from '../../../../shared-lib/ports/identity.ts'
import { seesOnlyNamed } from '../../access.ts'
import { csvText } from '../../csv-answer.ts'
import type { WebDeps } from '../../deps.ts'
import { visibleElectrodesOfSite } from '../../visible-lists.ts'
import type { WebEnv } from '../../web-env.ts'
import { office } from '../office.ts'
import { type PageCall, pathPart, respond, respondProblem, signedIn } from '../respond.ts'
import { paths } from '../view/paths.ts'

/** About fifty sheets. */
const MOST_ROWS = 1000

/** `/sites/…/summary`: how a site complies, on paper and as CSV. */
export function registerCompliance(app: Hono<WebEnv>, deps: WebDeps): void {
  app.get('/sites/:id/summary', signedIn(deps, onPaper))
  app.get('/sites/:id/summary.csv', signedIn(deps, asCsv))
}

async function read({ deps, person, frame }: PageCall, siteId: string) {
  const nowIso = new Date(frame.nowMs).toISOString()
  const [{ electrodes, complete }, file] = await Promise.all([
    visibleElectrodesOfSite(deps, person, siteId, MOST_ROWS),
    deps.ledger.readSite(siteId),
  ])
  const { readCompliance, summariseSite } = await office()
  const { standings, counts } = summariseSite(file, person, nowIso.slice(0, 10))
  const rows = await readCompliance(deps.ledger, electrodes, standings, nowIso)
  return { rows, counts, complete, nowIso }
}

async function onPaper(call: PageCall): Promise<Response> {
  const { c, deps, person, frame } = call
  const siteId = pathPart(c, 'id')
  if (!seesSite(person, siteId)) return respondProblem(c, deps, 'site-not-allowed')
  const { rows, counts, complete, nowIso } = await read(call, siteId)
  const { compliancePage } = await office()
  const body = compliancePage({
    siteId,
    rows,
    counts,
    complete,
    ownOnly: seesOnlyNamed(person),
    operatorName: frame.operatorName,
    countedAt: nowIso,
    printedAt: nowIso,
    printedBy: person.name,
  })
  return respond(c, frame, { title: `Compliance summary, site ${siteId}`, section: paths.sites, body })
}

async function asCsv(call: PageCall): Promise<Response> {
  const { c, deps, person } = call
  const siteId = pathPart(c, 'id')
  if (!seesSite(person, siteId)) return respondProblem(c, deps, 'site-not-allowed')
  const { rows, nowIso } = await read(call, siteId)
  const { complianceCsv } = await office()
  return csvText(c, `compliance-${siteId}.csv`, complianceCsv(rows, nowIso))
}
