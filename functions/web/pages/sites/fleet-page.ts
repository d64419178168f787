import { USUAL_RULE } from '../../../../shared-lib/evaluate/judge-limit.ts'
import { addCounts } from '../../../../shared-lib/ledger/standing.ts'
import type { Fleet, FleetRow } from '../../read-fleet.ts'
import { instant } from '../view/format.ts'
import { type Html, html, nothing } from '../view/html.ts'
import { paths, withQuery } from '../view/paths.ts'
import { STANDING_WORDS, standingTiles } from '../view/standing-tiles.ts'
import { type CountedFor, countedWords } from './compliance-words.ts'

export type OnPaper = Pick<CountedFor, 'operatorName' | 'printedBy' | 'printedAt'>

/** Every site a person sees, how each stands, and all of them together. */
export function fleetPage({ rows, countedAt }: Fleet, paper: OnPaper): Html {
  if (rows.length === 0)
    return html`<h1>Sites</h1><p class="empty">No electrode of a site you see is in the register.</p>`
  const counts = rows.flatMap((r) => r.counts ?? [])
  const shown = counts.length > 0
  return html`<article class="summary"><h1>Sites</h1>
${
  shown && countedAt
    ? html`<div class="paper"><p><strong>Compliance summary</strong></p>${countedWords({ ...paper, countedAt, rules: [USUAL_RULE] })}</div><h2>How ${rows.length === 1 ? 'it stands' : `these ${rows.length} stand together`}</h2>${standingTiles(addCounts(counts))}
<p class="aside">Electrodes by their newest test, counted ${instant(countedAt)}. What was handed in since shows at the site itself.</p>`
    : nothing
}
<div class="scroll" role="region" aria-label="Sites" tabindex="0"><table class="many"><caption class="unseen">Sites</caption><thead><tr><th scope="col">Site</th><th scope="col" class="num">Electrodes</th>${shown ? STANDING_WORDS.map(([, words]) => html`<th scope="col" class="num">${words[0]?.toUpperCase()}${words.slice(1)}</th>`) : nothing}<th scope="col" class="screen">See</th></tr></thead>
<tbody>${rows.map((r) => fleetRow(r, shown))}</tbody></table></div>
${shown ? html`<p class="sign paper">Signed: ______________________________ Date: ______________</p>` : nothing}
<p class="screen"><a href="${paths.sitesCsv}">This list as CSV</a>${shown ? ' · this page prints as a compliance summary on A4 or Letter' : ''}</p></article>`
}

function fleetRow({ siteId, electrodes, counts }: FleetRow, shown: boolean): Html {
  const cells = STANDING_WORDS.map(([key]) => html`<td class="num">${counts ? counts[key] : '–'}</td>`)
  return html`<tr><th scope="row"><a href="${paths.site(siteId)}">${siteId}</a></th><td class="num">${electrodes}</td>${shown ? cells : nothing}<td class="nowrap screen"><a href="${withQuery(paths.findings, { site: siteId })}">findings<span class="unseen"> of ${siteId}</span></a> · <a href="${withQuery(paths.due, { site: siteId })}">due<span class="unseen"> at ${siteId}</span></a></td></tr>`
}
