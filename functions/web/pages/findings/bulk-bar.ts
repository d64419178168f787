import { MOST_AT_ONCE } from '../../decide-many.ts'
import { selectControl, textControl } from '../view/controls.ts'
import type { FormProblem } from '../view/error-summary.ts'
import { type Html, html, raw } from '../view/html.ts'
import { DECISION_WORDS } from '../view/words.ts'
import { DECISION_BUTTONS } from './decision-buttons.ts'
import { USUAL_REASONS } from './reasons.ts'

export interface BulkBarParts {
  why?: string
  reason?: string
  problems?: readonly FormProblem[]
}

/** One reason and five decisions for everything that is ticked. It stays in sight while the list scrolls. */
export function bulkBar({ why, reason, problems }: BulkBarParts): Html {
  return html`<fieldset class="bulk screen"><legend>Decide the ticked ones<span data-ticked></span></legend>
<div class="bulk-reason">${selectControl({ id: 'why', label: 'Reason', none: 'None of these', value: why, choices: USUAL_REASONS.map((r) => ({ value: r, label: r })) })}
${textControl({ id: 'reason', label: 'In your own words', value: reason, width: 'long', ...(problems ? { problems } : {}) })}</div>
<div class="acts">${DECISION_BUTTONS.map((action) => html`<button type="submit" name="action" value="${action}">${DECISION_WORDS[action].button}</button>`)}</div>
<p class="aside">Up to ${MOST_AT_ONCE} at once. “Set aside” and “Repaired” need a reason, which the crew reads too. Everything can be undone.</p></fieldset>`
}

/** The keys that the script of the page listens to; put into the page by the script, so that nobody is promised what is not there. */
export function keyHelp(): Html {
  const keys: [string, string][] = [
    ['j / k', 'next, previous'],
    ['x', 'tick'],
    ['a', 'accept'],
    ['f', 'confirm: the finding is true'],
    ['t', 'ask for a retest'],
    ['r', 'set aside: goes to the reason, Enter sends'],
    ['c', 'write a reason'],
    ['u', 'undo the last'],
    ['o', 'open'],
    ['?', 'these keys'],
  ]
  return html`${raw('<template id="keys">')}<details class="keys screen"><summary>Keys</summary><dl class="facts">${keys.map(([key, words]) => html`<dt><kbd>${key}</kbd></dt><dd>${words}</dd>`)}</dl></details>${raw('</template>')}`
}
