import type {
  ElectrodeRecord,
  FindingItem,
  Page,
  SurveyRecord,
} from '../../../../shared-lib/ledger/ledger.ts'
import { electrodeTable } from '../electrodes/electrode-list.ts'
import { queueCard } from '../findings/queue-card.ts'
import { day, number } from '../view/format.ts'
import { type Html, html, nothing } from '../view/html.ts'
import { pager } from '../view/paging.ts'
import { paths, withQuery } from '../view/paths.ts'

export interface SitePageParts {
  siteId: string
  electrodes: Page<ElectrodeRecord>
  openFindings: Page<FindingItem>
  soilSurveys: readonly SurveyRecord[]
  query: { cursor?: string }
  nowMs: number
}

/** One site: what is open there, its electrodes, its soil surveys. */
export function sitePage({
  siteId,
  electrodes,
  openFindings,
  soilSurveys,
  query,
  nowMs,
}: SitePageParts): Html {
  return html`<p class="crumbs"><a href="${paths.electrodes}">Electrodes</a></p>
<h1>Site ${siteId}</h1>
${
  openFindings.items.length === 0
    ? html`<p>No open finding.</p>`
    : html`<h2>Open findings</h2>${openFindings.items.map((f) => queueCard({ finding: f, nowMs, mayDecide: false, level: 3 }))}<p><a href="${withQuery(paths.findings, { site: siteId })}">${openFindings.next === null ? 'To the queue of this site' : 'All open findings of this site'}</a></p>`
}
<h2>Electrodes</h2>
${electrodes.items.length === 0 ? html`<p class="empty">No electrode of this site is in the register.</p>` : electrodeTable(electrodes.items, `Electrodes of site ${siteId}`)}
${electrodes.items.length === 0 ? nothing : html`<p class="screen"><a href="${paths.labels(siteId)}">Labels with codes for these electrodes</a></p>`}
${pager(paths.site(siteId), query, electrodes.next)}
${soilSurveys.length === 0 ? nothing : soilTable(siteId, soilSurveys)}`
}

function soilTable(siteId: string, surveys: readonly SurveyRecord[]): Html {
  return html`<h2>Soil surveys</h2><div class="scroll" role="region" aria-label="Soil surveys" tabindex="0"><table><caption class="unseen">Soil surveys</caption>
<thead><tr><th scope="col">Survey</th><th scope="col">Tested</th><th scope="col" class="num">Resistivity, Ω·m</th></tr></thead>
<tbody>${surveys.map(({ survey, judged }) => html`<tr><th scope="row"><a href="${paths.subjectSurvey({ kind: 'site', id: siteId }, survey.surveyRef)}">${survey.surveyRef}</a></th><td>${day(survey.testedAt)}</td><td class="num">${judged.impliedSoilResistivityOhmM === null ? 'none' : number(judged.impliedSoilResistivityOhmM, 3)}</td></tr>`)}</tbody></table></div>`
}
