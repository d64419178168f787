import type { Hono } from 'hono'
import { seesSite } from '../../../../shared-lib/ports/identity.ts'
import type { WebDeps } from '../../deps.ts'
import { visibleElectrodes, visibleFindings } from '../../visible-lists.ts'
import type { WebEnv } from '../../web-env.ts'
import { type PageCall, pathPart, queryPart, respond, respondProblem, signedIn } from '../respond.ts'
import { html } from '../view/html.ts'
import { paths, withQuery } from '../view/paths.ts'
import { sitePage } from './site-page.ts'
import { summariseSite } from './site-summary.ts'

const PAGE_SIZE = 50

/** The sites a person sees, and one of them. */
export function registerSites(app: Hono<WebEnv>, deps: WebDeps): void {
  app.get(paths.sites, signedIn(deps, list))
  app.get('/sites/:id', signedIn(deps, one))
}

async function list({ c, deps, person, frame }: PageCall): Promise<Response> {
  const sites = (await deps.ledger.listSites()).filter((s) => seesSite(person, s.siteId))
  const body = html`<h1>Sites</h1>
${
  sites.length === 0
    ? html`<p class="empty">No electrode of a site you see is in the register.</p>`
    : html`<div class="scroll" role="region" aria-label="Sites" tabindex="0"><table class="snug"><caption class="unseen">Sites</caption><thead><tr><th scope="col">Site</th><th scope="col" class="num">Electrodes</th><th scope="col">See</th></tr></thead>
<tbody>${sites.map((s) => html`<tr><th scope="row"><a href="${paths.site(s.siteId)}">${s.siteId}</a></th><td class="num">${s.electrodes}</td><td><a href="${withQuery(paths.findings, { site: s.siteId })}">findings<span class="unseen"> of ${s.siteId}</span></a> · <a href="${withQuery(paths.due, { site: s.siteId })}">due<span class="unseen"> at ${s.siteId}</span></a></td></tr>`)}</tbody></table></div>`
}`
  return respond(c, frame, { title: 'Sites', section: paths.sites, body })
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
