import type { Page } from '../../../../shared-lib/ledger/kept/page.ts'
import type { ElectrodeRecord } from '../../../../shared-lib/ledger/kept/register.ts'
import type { RetestRequest } from '../../../../shared-lib/ledger/retest.ts'
import { selectControl, textControl } from '../view/controls.ts'
import { day, month, ohm, plural } from '../view/format.ts'
import { type Html, html, nothing } from '../view/html.ts'
import { pager } from '../view/paging.ts'
import { paths } from '../view/paths.ts'
import { FINDING_TITLES, OUTCOME_WORDS } from '../view/words.ts'
import type { NotMade } from './not-made.ts'

export interface DuePageParts {
  page: Page<ElectrodeRecord>
  query: { site?: string; to?: string; cursor?: string }
  /** Months a person can look ahead to, `YYYY-MM`, this month first. */
  months: readonly string[]
  today: string
  /** Visits since the last test at which it could not be made. */
  notMade: ReadonlyMap<string, NotMade>
}

/** What needs a test, month by month, oldest first; overdue is said in words. */
export function duePage({ page, query, months, today, notMade }: DuePageParts): Html {
  const byMonth = Map.groupBy(page.items, (r) => (r.dueOn ?? '').slice(0, 7))
  return html`<h1>Due for a test</h1>
<form class="find" method="get" action="${paths.due}">
${selectControl({ id: 'to', label: 'Up to the end of', value: query.to ?? months[0], choices: months.map((m) => ({ value: m, label: month(m) })) })}
${textControl({ id: 'site', label: 'Site', value: query.site, kind: 'search' })}
<button type="submit">Show</button></form>
<p class="screen"><a href="${paths.calendar}">Due dates in a calendar</a></p>
${page.items.length === 0 ? html`<p class="empty">${page.next === null ? `Nothing is due up to the end of ${month(query.to ?? months[0] ?? '')}.` : 'Nothing on this page that you may see; the list goes on with the next page.'}</p>` : nothing}
${page.items.length === 0 ? nothing : dueTable(byMonth, today, notMade)}
${pager(paths.due, query, page.next)}`
}

function dueTable(
  byMonth: Map<string, ElectrodeRecord[]>,
  today: string,
  notMade: ReadonlyMap<string, NotMade>,
): Html {
  const inOrder = [...byMonth].sort(([a], [b]) => (a < b ? -1 : 1))
  return html`<div class="scroll" role="region" aria-label="Due" tabindex="0"><table><caption class="unseen">Due, month by month</caption>
<thead><tr><th scope="col">Electrode</th><th scope="col">Site</th><th scope="col">Due</th><th scope="col">Last tested</th><th scope="col" class="num">Limit</th><th scope="col">Why this limit</th><th scope="col" class="screen">Next step</th></tr></thead>
${inOrder.map(
  ([
    key,
    records,
  ]) => html`<tbody><tr><th scope="rowgroup" colspan="7" class="month">${key === '' ? 'Without a date' : month(key)}: ${plural(records.length, 'electrode')} on this page</th></tr>
${records.map((r) => dueRow(r, today, notMade.get(r.electrode.electrodeId)))}</tbody>`,
)}</table></div>`
}

function dueRow(
  { electrode: e, dueOn, lastTestedAt, retest }: ElectrodeRecord,
  today: string,
  visit: NotMade | undefined,
): Html {
  const overdue = dueOn !== undefined && dueOn.slice(0, 10) < today
  return html`<tr><th scope="row"><a href="${paths.electrode(e.electrodeId)}">${e.electrodeId}</a></th><td><a href="${paths.site(e.siteId)}">${e.siteId}</a></td>
<td><span class="nowrap">${dueOn ? day(dueOn) : '–'}</span>${overdue ? html` <strong>overdue</strong>` : nothing}${retest ? retestWords(e.electrodeId, retest, today) : nothing}</td>
<td>${lastTestedAt ? day(lastTestedAt) : 'never'}${visit ? html`<br><span class="aside">${day(new Date(visit.atMs).toISOString())}: ${OUTCOME_WORDS[visit.outcome].toLowerCase()}</span>` : nothing}</td><td class="num">${e.limitOhm === undefined ? 'none set' : ohm(e.limitOhm)}</td><td>${e.limitBasis ?? ''}</td>
<td class="nowrap screen"><a href="${paths.planOf(e.electrodeId)}">Plan<span class="unseen"> a survey of ${e.electrodeId}</span></a> · <a href="${paths.newSurvey(e.electrodeId)}">Hand in<span class="unseen"> a survey of ${e.electrodeId}</span></a></td></tr>`
}

/** Why a test is asked for before its time, and how it has to be made to be comparable. */
function retestWords(electrodeId: string, retest: RetestRequest, today: string): Html {
  const asked = retest.askedBy === 'step' ? 'found' : 'asked for'
  return html`<br><span class="aside">Retest by ${day(retest.dueOn)}: <a href="${paths.survey(electrodeId, retest.surveyRef)}">${FINDING_TITLES[retest.reason].toLowerCase()}</a>, ${asked} ${day(retest.askedOn)}. Same line, same stakes.${today >= retest.standsFrom ? html` No test came: it stands as found.` : nothing}</span>`
}
