import type { DecisionAction } from '../../../../shared-lib/history/assessment.ts'
import type { FindingItem } from '../../../../shared-lib/ledger/kept/finding.ts'
import type { DecidedEach } from '../../decide-many.ts'
import { minutesLeft, plural } from '../view/format.ts'
import { type Html, html, nothing } from '../view/html.ts'
import { paths } from '../view/paths.ts'
import { DECISION_WORDS, FINDING_TITLES } from '../view/words.ts'
import { nameFindings } from './queue-rows.ts'
import { whatHappened } from './what-happened.ts'

export interface DecidedResultParts {
  action: DecisionAction
  reason: string
  each: readonly { id: string; outcome: DecidedEach }[]
  /** Address that a further decision leads back to. */
  back: string
  nowMs: number
}

/** After one decision about several findings: what was done, the way back, and what was left alone with what happened to it. */
export function decidedResult(parts: DecidedResultParts): Html {
  const done = parts.each.flatMap(({ outcome }) =>
    outcome.kind === 'decided' || outcome.kind === 'already-so' ? [outcome.finding] : [],
  )
  const left = parts.each.filter(({ outcome }) => outcome.kind !== 'decided' && outcome.kind !== 'already-so')
  return html`${done.length === 0 ? nothing : doneBox(parts, done)}${left.length === 0 ? nothing : leftBox(parts, left)}`
}

function doneBox({ action, back }: DecidedResultParts, done: FindingItem[]): Html {
  return html`<div class="said" role="status"><p><strong>${plural(done.length, 'finding')}: ${DECISION_WORDS[action].done}.</strong></p>
${
  action === 'reopen'
    ? nothing
    : html`<form method="post" action="${paths.decideMany}"><input type="hidden" name="back" value="${back}"><input type="hidden" name="f" value="${nameFindings(done)}"><button type="submit" name="action" value="reopen">${DECISION_WORDS.reopen.button}</button></form>`
}
<details><summary>Which</summary><ul>${done.map((f) => html`<li>${findingLink(f)}</li>`)}</ul></details></div>`
}

function leftBox(
  { action, reason, back, nowMs }: DecidedResultParts,
  left: readonly { id: string; outcome: DecidedEach }[],
): Html {
  const known = left.flatMap(({ outcome }) => ('finding' in outcome ? [outcome] : []))
  const unknown = left.length - known.length
  const again = known.filter(({ kind }) => kind === 'changed' || kind === 'claimed').map((o) => o.finding)
  return html`<section class="mend" aria-labelledby="left-alone"><h2 id="left-alone">${plural(left.length, 'finding')} left as ${left.length === 1 ? 'it is' : 'they are'}</h2>
<ul>${known.map(({ kind, finding }) => html`<li>${findingLink(finding)}. ${kind === 'claimed' ? `${finding.claim?.name ?? 'Somebody'} is at it, for ${minutesLeft(finding.claim?.untilMs ?? nowMs, nowMs)} more.` : whatHappened(finding, nowMs)}</li>`)}</ul>
${unknown === 0 ? nothing : html`<p>${plural(unknown, 'finding')} could not be found, or you may not decide about ${unknown === 1 ? 'it' : 'them'}.</p>`}
${
  again.length === 0
    ? nothing
    : html`<form method="post" action="${paths.decideMany}"><input type="hidden" name="back" value="${back}"><input type="hidden" name="f" value="${nameFindings(again)}"><input type="hidden" name="overtake" value="yes"><input type="hidden" name="reason" value="${reason}"><p>Your decision${reason === '' ? '' : ` (“${reason}”)`} was not recorded for ${again.length === 1 ? 'it' : 'them'}. Both decisions stay in the trail if you decide now.</p><button type="submit" name="action" value="${action}">${DECISION_WORDS[action].button} all the same</button></form>`
}</section>`
}

function findingLink(f: FindingItem): Html {
  return html`<a href="${paths.finding(f.id)}">${FINDING_TITLES[f.code]}</a>, electrode ${f.electrodeId}, survey ${f.surveyRef}`
}
