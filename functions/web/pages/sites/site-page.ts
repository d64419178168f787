import type { FindingItem } from '../../../../shared-lib/ledger/kept/finding.ts'
import type { Page } from '../../../../shared-lib/ledger/kept/page.ts'
import type { ElectrodeRecord } from '../../../../shared-lib/ledger/kept/register.ts'
import type { SurveyRecord } from '../../../../shared-lib/ledger/kept/survey.ts'
import { queueCard } from '../findings/queue-card.ts'
import { day, number, ohm, ohmWithDoubt } from '../view/format.ts'
import { type Html, html, nothing } from '../view/html.ts'
import { pager } from '../view/paging.ts'
import { paths, withQuery } from '../view/paths.ts'
import { conformityBadge } from '../view/severity.ts'
import { standingTiles } from '../view/standing-tiles.ts'
import { KIND_WORDS } from '../view/words.ts'
import type { SiteSummary } from './site-summary.ts'

export interface SitePageParts {
  siteId: string
  electrodes: Page<ElectrodeRecord>
  openFindings: Page<FindingItem>
  soilSurveys: readonly SurveyRecord[]
  summary: SiteSummary
  query: { cursor?: string }
  nowMs: number
}

/** One site: how it stands, what is open there, its electrodes, its soil. */
export function sitePage(parts: SitePageParts): Html {
  const { siteId, electrodes, openFindings, soilSurveys, summary, query, nowMs } = parts
  const drift = openFindings.items.find((f) => f.code === 'site-drift')
  return html`<p class="crumbs"><a href="${paths.sites}">Sites</a></p>
<h1>Site ${siteId}</h1>
${drift ? html`<section class="caution"><h2>The whole site drifts</h2><p>${drift.message} <a href="${paths.finding(drift.id)}">Why</a></p></section>` : nothing}
<h2 class="unseen">How it stands</h2>
${standingTiles(summary.counts)}
${
  openFindings.items.length === 0
    ? html`<p>No open finding.</p>`
    : html`<h2>Open findings</h2>${openFindings.items.map((f) => queueCard({ finding: f, nowMs, mayDecide: false, level: 3 }))}<p class="screen"><a href="${withQuery(paths.findings, { site: siteId })}">${openFindings.next === null ? 'To the queue of this site' : 'All open findings of this site'}</a></p>`
}
<h2>Electrodes</h2>
${electrodes.items.length === 0 ? html`<p class="empty">No electrode of this site is in the register.</p>` : standingTable(electrodes.items, summary, siteId)}
${pager(paths.site(siteId), query, electrodes.next)}
<p class="screen"><a href="${paths.labels(siteId)}">Labels to print for its lids</a> · <a href="${paths.compliance(siteId)}">Compliance summary to print</a> · <a href="${paths.complianceCsv(siteId)}">as CSV</a> · <a href="/api/export/surveys.csv?site=${encodeURIComponent(siteId)}">All surveys of this site as CSV</a> · <a href="${withQuery(paths.due, { site: siteId })}">What is due here</a></p>
${soilSurveys.length === 0 ? nothing : soilTable(siteId, soilSurveys)}`
}

function standingTable(
  records: readonly ElectrodeRecord[],
  { standings }: SiteSummary,
  siteId: string,
): Html {
  return html`<div class="scroll" role="region" aria-label="Electrodes of site ${siteId}" tabindex="0"><table><caption class="unseen">Electrodes of site ${siteId}, by their newest test</caption>
<thead><tr><th scope="col">Electrode</th><th scope="col">Kind</th><th scope="col">Place</th><th scope="col" class="num">Newest test (k = 2)</th><th scope="col" class="num">Limit</th><th scope="col">Against it</th><th scope="col">Tested</th><th scope="col">Next due</th></tr></thead>
<tbody>${records.map(({ electrode: e, dueOn }) => {
    const s = standings.get(e.electrodeId)
    const t = s?.test
    return html`<tr><th scope="row"><a href="${paths.electrode(e.electrodeId)}">${e.electrodeId}</a>${e.tag ? html` <span class="aside">tag ${e.tag}</span>` : nothing}</th><td>${KIND_WORDS[e.kind]}</td><td class="wide">${e.locationText ?? ''}</td>
<td class="num">${t ? ohmWithDoubt(t.resistanceOhm, t.expandedUncertaintyOhm) : 'none'}${s?.lastValue ? html`<br><span class="aside">${ohm(s.lastValue.resistanceOhm)} on ${day(new Date(s.lastValue.testedAtMs).toISOString())}</span>` : nothing}</td><td class="num">${(t?.limitOhm ?? e.limitOhm) ? ohm(t?.limitOhm ?? e.limitOhm) : 'none set'}</td><td>${conformityBadge(s?.conformity ?? 'not-assessed')}</td>
<td class="nowrap">${t ? day(new Date(t.testedAtMs).toISOString()) : 'never'}</td><td class="nowrap">${dueOn ? day(dueOn) : '–'}${s?.overdue ? html` <strong>overdue</strong>` : nothing}</td></tr>`
  })}</tbody></table></div>`
}

function soilTable(siteId: string, surveys: readonly SurveyRecord[]): Html {
  return html`<h2>Soil surveys</h2><div class="scroll" role="region" aria-label="Soil surveys" tabindex="0"><table class="snug"><caption class="unseen">Soil surveys</caption>
<thead><tr><th scope="col">Survey</th><th scope="col">Tested</th><th scope="col" class="num">Resistivity, Ω·m</th></tr></thead>
<tbody>${surveys.map(({ survey, judged }) => html`<tr><th scope="row"><a href="${paths.subjectSurvey({ kind: 'site', id: siteId }, survey.surveyRef)}">${survey.surveyRef}</a></th><td>${day(survey.testedAt)}</td><td class="num">${judged.impliedSoilResistivityOhmM === null ? 'none' : number(judged.impliedSoilResistivityOhmM, 3)}</td></tr>`)}</tbody></table></div>`
}
