import type { Page } from '../../../../shared-lib/ledger/kept/page.ts'
import type { ElectrodeRecord } from '../../../../shared-lib/ledger/kept/register.ts'
import { textControl } from '../view/controls.ts'
import { day, metres, number, ohm } from '../view/format.ts'
import { type Html, html, nothing } from '../view/html.ts'
import { pager } from '../view/paging.ts'
import { paths } from '../view/paths.ts'
import { KIND_WORDS } from '../view/words.ts'

export interface ElectrodeListParts {
  page: Page<ElectrodeRecord>
  query: { q?: string; site?: string; cursor?: string }
  mayRegister: boolean
}

const TABLES = [
  ['electrodes', 'electrodes'],
  ['limits', 'limits'],
  ['works', 'works'],
  ['instruments', 'instruments'],
] as const

/** Electrodes of the sites a person sees, searched by id, tag, site or place. */
export function electrodeList({ page, query, mayRegister }: ElectrodeListParts): Html {
  return html`<h1>Electrodes</h1>
<form class="find" method="get" action="${paths.electrodes}" role="search">
${textControl({ id: 'q', label: 'Id, tag or place', value: query.q, kind: 'search' })}
${textControl({ id: 'site', label: 'Site', value: query.site, kind: 'search' })}
<button type="submit">Search</button>
${query.q || query.site ? html`<a class="button" href="${paths.electrodes}">Show all</a>` : nothing}
</form>
${mayRegister ? html`<p class="screen"><a href="${paths.editElectrode}">Register an electrode</a> · <a href="${paths.registerFile}">The register as CSV</a></p>` : html`<p class="screen">The register as CSV: ${TABLES.map(([table, words], i) => html`${i === 0 ? '' : ', '}<a href="${paths.registerCsv(table)}">${words}</a>`)}</p>`}
${page.items.length === 0 ? noneFound(query, page.next !== null) : electrodeTable(page.items, 'Electrodes')}
${pager(paths.electrodes, query, page.next)}`
}

function noneFound(query: ElectrodeListParts['query'], more: boolean): Html {
  if (more)
    return html`<p class="empty">Nothing on this page matches. The search goes on with the next page.</p>`
  return query.q || query.site
    ? html`<p class="empty">No electrode matches. Search by a part of the id, the tag or the place, or leave the site empty.</p>`
    : html`<p class="empty">No electrode is in the register yet. An administrator loads the register as a CSV file.</p>`
}

/** A table of electrodes, for any list of them. */
function electrodeTable(records: readonly ElectrodeRecord[], caption: string): Html {
  return html`<div class="scroll" role="region" aria-label="${caption}" tabindex="0"><table>
<caption class="unseen">${caption}</caption>
<thead><tr><th scope="col">Electrode</th><th scope="col">Site</th><th scope="col">Kind</th><th scope="col">Place</th><th scope="col" class="num">Limit</th><th scope="col">Last tested</th><th scope="col">Next due</th></tr></thead>
<tbody>${records.map(
    ({ electrode: e, lastTestedAt, dueOn }) => html`<tr>
<th scope="row"><a href="${paths.electrode(e.electrodeId)}">${e.electrodeId}</a>${e.tag ? html` <span class="aside">tag ${e.tag}</span>` : nothing}</th>
<td><a href="${paths.site(e.siteId)}">${e.siteId}</a></td>
<td>${KIND_WORDS[e.kind]}${size(e)}</td>
<td class="wide">${e.locationText ?? ''}</td>
<td class="num">${e.limitOhm === undefined ? 'none set' : ohm(e.limitOhm)}</td>
<td class="nowrap">${lastTestedAt ? day(lastTestedAt) : 'never'}</td>
<td class="nowrap">${dueOn ? day(dueOn) : '–'}</td></tr>`,
  )}</tbody></table></div>`
}

function size(e: ElectrodeRecord['electrode']): string {
  if (e.count !== undefined && e.lengthM !== undefined) return `, ${e.count} × ${metres(e.lengthM)}`
  if (e.lengthM !== undefined) return `, ${metres(e.lengthM)}`
  if (e.diagonalM !== undefined) return `, ${metres(e.diagonalM)} across`
  return e.areaM2 === undefined ? '' : `, ${number(e.areaM2)} m²`
}

/** Does an electrode match what was typed? Case and spaces do not count; every word must be found. */
export function matchesSearch(record: ElectrodeRecord, typed: string): boolean {
  const e = record.electrode
  const text = [e.electrodeId, e.tag, e.siteId, e.locationText].filter(Boolean).join(' ').toLowerCase()
  return typed
    .toLowerCase()
    .split(/\s+/)
    .every((word) => text.includes(word))
}
