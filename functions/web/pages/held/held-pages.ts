import type { Page } from '../../../../shared-lib/ledger/kept/page.ts'
import type { HeldSurvey } from '../../../../shared-lib/ledger/kept/survey.ts'
import { readingsTable, surveyFields } from '../surveys/survey-fields.ts'
import { textControl } from '../view/controls.ts'
import { errorSummary, type FormProblem } from '../view/error-summary.ts'
import { age, day, instant } from '../view/format.ts'
import { type Html, html, nothing } from '../view/html.ts'
import { pager } from '../view/paging.ts'
import { paths, withQuery } from '../view/paths.ts'

export interface HeldListParts {
  page: Page<HeldSurvey>
  query: { cursor?: string }
  nowMs: number
}

const HOW_TO_MATCH = html`<p>A held survey is kept whole. It is judged as soon as an electrode with exactly this id is in the register: add the electrode (or correct its id there), and the survey is taken in by itself. If the id on the survey is the mistake, hand the survey in again with the right one.</p>`

/** Surveys whose electrode nobody knows yet. */
export function heldList({ page, query, nowMs }: HeldListParts): Html {
  return html`<h1>Held surveys</h1>
${HOW_TO_MATCH}
${
  page.items.length === 0
    ? html`<p class="empty">Nothing is held.</p>`
    : html`<div class="scroll" role="region" aria-label="Held surveys" tabindex="0"><table><caption class="unseen">Held surveys</caption>
<thead><tr><th scope="col">Survey</th><th scope="col">Electrode as written</th><th scope="col">Tested</th><th scope="col">Received</th><th scope="col">Tester</th></tr></thead>
<tbody>${page.items.map((h) => html`<tr><th scope="row"><a href="${paths.heldSurvey(h.electrodeId, h.survey.surveyRef)}">${h.survey.surveyRef}</a></th><td>${h.electrodeId}</td><td class="nowrap">${day(h.survey.testedAt)}</td><td class="nowrap">${age(h.receivedAt, nowMs)}</td><td>${h.survey.tester ?? ''}</td></tr>`)}</tbody></table></div>`
}
${pager(paths.held, query, page.next)}`
}

export interface HeldPageParts {
  held: HeldSurvey
  justNow: boolean
  mayMatch: boolean
  /** Whoever handed it in, who may still stand at the electrode. */
  isSender: boolean
  mayRegister: boolean
  typed?: string
  problems?: readonly FormProblem[]
}

/** One held survey, also what a crew sees right after handing one in for an electrode nobody knows. */
export function heldPage(parts: HeldPageParts): Html {
  const { held, justNow, mayMatch } = parts
  return html`${errorSummary(parts.problems ?? [])}
${mayMatch ? html`<p class="crumbs"><a href="${paths.held}">Held surveys</a></p>` : nothing}
<h1>${justNow ? 'Received and held' : 'Held survey'} ${held.survey.surveyRef}</h1>
<div class="said" role="status"><p><strong>Electrode ${held.electrodeId} is not in the register.</strong> The survey is kept as it is, and is judged when the electrode is matched.${parts.isSender ? ' Check the id on the tag before you leave.' : ''}</p></div>
${mayMatch ? matchForm(parts) : HOW_TO_MATCH}
${parts.isSender ? html`<p>Because it cannot be judged yet, look for yourself before the stakes are pulled: readings at 52, 62 and 72 % within 5 % of each other, none over range, and the earth closed again.</p>` : nothing}
<h2>Readings</h2>
${readingsTable(held.survey)}
<h2>What was handed in</h2>
${surveyFields(held.survey)}
<p class="aside">Received ${instant(held.receivedAt)}.</p>
${parts.isSender ? html`<p class="actions screen"><a class="button" href="/surveys/new">Hand in with another electrode</a></p>` : nothing}`
}

function matchForm({ held, mayRegister, typed, problems }: HeldPageParts): Html {
  return html`<section class="sheet screen"><h2>Which electrode is it?</h2>
<form method="post" action="${paths.moveHeld(held.electrodeId, held.survey.surveyRef)}">
${textControl({ id: 'to', label: 'Electrode it is really of, by its id', hint: 'The survey is taken in for it as its sender’s, with a note of who matched it.', value: typed, ...(problems ? { problems } : {}) })}
<p class="actions"><button type="submit" class="main">Move it there</button>${mayRegister ? html` <a class="button" href="${withQuery(paths.editElectrode, { id: held.electrodeId })}">Register ${held.electrodeId}</a>` : nothing}</p></form>
<p class="aside">If the id is right and only the register lacks it, ${mayRegister ? 'register it' : 'ask an administrator to register it'}: the survey is then taken in by itself.</p></section>`
}
