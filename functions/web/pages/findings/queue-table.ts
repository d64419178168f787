import type { FindingItem } from '../../../../shared-lib/ledger/kept/finding.ts'
import { age, chance, day, instant } from '../view/format.ts'
import { type Html, html, nothing } from '../view/html.ts'
import { paths } from '../view/paths.ts'
import { badge, severityBadge } from '../view/severity.ts'
import { DECISION_WORDS, FINDING_TITLES } from '../view/words.ts'
import { BUTTONS_AT_ONCE } from './decision-buttons.ts'
import { nameFindings, type QueueRow } from './queue-rows.ts'
import { whatHappened } from './what-happened.ts'

export interface QueueTableParts {
  rows: readonly QueueRow[]
  nowMs: number
  mayDecide: boolean
}

/** The queue, one row a survey: the reason first, then where, when, for how long, and what can be done at once. */
export function queueTable({ rows, nowMs, mayDecide }: QueueTableParts): Html {
  return html`<table class="queue"><caption class="unseen">Findings, worst first, then oldest first</caption>
<thead><tr>${mayDecide ? html`<th scope="col" class="tick-cell"><span class="unseen">Tick</span></th>` : nothing}<th scope="col">What is seen</th><th scope="col">Where</th><th scope="col">Tested</th><th scope="col">Raised</th>${mayDecide ? html`<th scope="col" class="acts">Decide</th>` : nothing}</tr></thead>
<tbody>${rows.map((row) => queueRow(row, nowMs, mayDecide))}</tbody></table>`
}

function queueRow({ lead, also }: QueueRow, nowMs: number, mayDecide: boolean): Html {
  const all = [lead, ...also]
  const open = all.filter((f) => f.state === 'open')
  const names = nameFindings(open)
  const what = `${FINDING_TITLES[lead.code]}, electrode ${lead.electrodeId}, survey ${lead.surveyRef}`
  const canDecide = mayDecide && open.length > 0
  return html`<tr class="${lead.severity}" id="f-${lead.id}"${canDecide ? html` data-names="${names}" data-what="${what}"` : nothing}>
${mayDecide ? html`<td class="tick-cell">${canDecide ? html`<input type="checkbox" name="f" value="${names}" aria-label="${what}">` : nothing}</td>` : nothing}
<td class="what">${severityBadge(lead.severity)} <a href="${paths.finding(lead.id)}">${FINDING_TITLES[lead.code]}</a>${chanceWords(lead)}
<p>${lead.message}</p>${also.map((f) => html`<p class="also">Also: ${severityBadge(f.severity)} <a href="${paths.finding(f.id)}">${FINDING_TITLES[f.code]}</a>${f.state === lead.state ? '' : `, ${f.state}`}</p>`)}
${stands(all, nowMs)}</td>
<td><a href="${paths.electrode(lead.electrodeId)}">${lead.electrodeId}</a> at <a href="${paths.site(lead.siteId)}">${lead.siteId}</a></td>
<td><a href="${paths.survey(lead.electrodeId, lead.surveyRef)}">${day(lead.testedAt)}</a>${with_(lead)}</td>
<td class="raised"><time datetime="${lead.openedAt}" title="${instant(lead.openedAt)}">${age(lead.openedAt, nowMs)}</time></td>
${mayDecide ? html`<td class="acts" data-acts>${canDecide ? BUTTONS_AT_ONCE.map((action) => html`<button type="submit" name="one" value="${action} ${names}">${DECISION_WORDS[action].button}<span class="unseen"> ${what}</span></button>`) : nothing}</td>` : nothing}</tr>`
}

function chanceWords(f: FindingItem): Html {
  return f.probability === null
    ? nothing
    : html` <span class="aside nowrap" title="The chance that it is true, an estimate">chance ${chance(f.probability)}</span>`
}

function with_(f: FindingItem): Html {
  const parts = [f.instrumentId, f.tester].filter(Boolean)
  return parts.length === 0 ? nothing : html` <span class="aside">${parts.join(', ')}</span>`
}

/** Who is at it, and what was decided last, where somebody has touched it. */
function stands(findings: readonly FindingItem[], nowMs: number): Html {
  const claim = findings.map((f) => f.claim).find((c) => c && c.untilMs > nowMs)
  const happened = [...new Set(findings.map((f) => whatHappened(f, nowMs)).filter(Boolean))]
  return html`${claim ? html`<p>${badge('plain', '◔', `${claim.name} is at it`)}</p>` : nothing}${happened.map((words) => html`<p class="aside">${words}</p>`)}`
}
