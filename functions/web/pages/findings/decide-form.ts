import type { DecisionAction } from '../../../../shared-lib/history/assessment.ts'
import { selectControl, textControl } from '../view/controls.ts'
import type { FormProblem } from '../view/error-summary.ts'
import { type Html, html, nothing } from '../view/html.ts'
import { paths } from '../view/paths.ts'
import { DECISION_WORDS } from '../view/words.ts'
import { DECISION_BUTTONS } from './decision-buttons.ts'
import { USUAL_REASONS } from './reasons.ts'

export interface DecideFormParts {
  findingId: string
  /** Unique on the page, for the ids of its controls. */
  key: string
  /** Where to go back to once decided; an address of ours. */
  back: string
  /** `versionOf` the finding as it is shown. */
  seen: string
  why?: string
  reason?: string
  problems?: readonly FormProblem[]
}

/** One reason, five buttons: each is a decision that can be undone, so none of them asks again. */
export function decideForm({ findingId, key, back, seen, why, reason, problems }: DecideFormParts): Html {
  return html`<form class="decide" method="post" action="${paths.decisions(findingId)}">
<input type="hidden" name="back" value="${back}"><input type="hidden" name="seen" value="${seen}">
${selectControl({ id: `why-${key}`, name: 'why', label: 'Reason (to set aside, or repaired)', none: 'None of these', value: why, choices: USUAL_REASONS.map((r) => ({ value: r, label: r })) })}
${textControl({ id: `reason-${key}`, name: 'reason', label: 'In your own words', value: reason, width: 'long', ...(problems ? { problems } : {}) })}
${DECISION_BUTTONS.map((action) => html`<button type="submit" name="action" value="${action}">${DECISION_WORDS[action].button}</button>`)}
</form>`
}

/** What each button does, once on a page. */
export function decisionMeanings(): Html {
  return html`<details class="screen"><summary>What the decisions mean</summary><dl class="facts">${DECISION_BUTTONS.map((a) => html`<dt>${DECISION_WORDS[a].button}</dt><dd>${DECISION_WORDS[a].meaning}</dd>`)}</dl>
<p>Every decision is kept with who, when and why, and can be undone at any time.</p></details>`
}

export interface SaidParts {
  findingId: string
  /** Names whose retest there is to plan. */
  electrodeId: string
  title: string
  surveyRef: string
  action: DecisionAction
  back: string
}

/** After a decision: what was done, and the way back. */
export function decidedNotice({ findingId, electrodeId, title, surveyRef, action, back }: SaidParts): Html {
  return html`<div class="said" role="status"><p><strong>Decided: ${DECISION_WORDS[action].done}.</strong> <a href="${paths.finding(findingId)}">${title}, survey ${surveyRef}</a>.${action === 'retest' ? html` It stays open until the retest is in. <a href="${paths.planOf(electrodeId)}">Plan it</a>, or see when it is due at <a href="${paths.electrode(electrodeId)}">the electrode</a>.` : nothing}</p>
${
  action === 'reopen'
    ? nothing
    : html`<form method="post" action="${paths.decisions(findingId)}"><input type="hidden" name="back" value="${back}"><button type="submit" name="action" value="reopen">${DECISION_WORDS.reopen.button}</button></form>`
}</div>`
}
