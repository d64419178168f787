import { CAUTIONS } from '../../../../shared-lib/evaluate/cautions.ts'
import type { Electrode } from '../../../../shared-lib/survey/register.ts'
import type { FormProblem } from '../view/error-summary.ts'
import { type Html, html } from '../view/html.ts'
import type { FormState } from './form-state.ts'

/** The two ticks of the whole form; everything else about safety is read where it is needed. */
export const BEFORE_LABEL =
  'The person in control agreed, and the system was dead or another proved earth was in place, before the link was opened'
export const AFTER_LABEL = 'The link is closed and tight, every lead is off, and the person in control knows'

/** Was the link opened, by anything the form says? */
function wasOpened({ values }: FormState): boolean {
  return (
    Boolean(values.linkOpenedAt?.trim()) || ['tight', 'tight-and-measured'].includes(values.linkChecked ?? '')
  )
}

/**
 * What the form asks about the earth link once it was opened: how it was left, when it was closed, and the two ticks. A link that is
 * still open is never held up by a missing tick: that has to be told at once.
 */
export function safetyProblems(state: FormState): FormProblem[] {
  const { linkChecked = '', linkClosedAt = '', linkOpenedAt = '' } = state.values
  if (linkChecked === 'still-open' || !wasOpened(state)) return []
  const problems: FormProblem[] = []
  if (!state.before)
    problems.push({
      fieldId: 'before',
      message:
        'Tick the box before the opening time once it is true, or take the opening time out if the link was never opened.',
    })
  if (linkChecked === '' || (linkChecked === 'not-opened' && linkOpenedAt.trim() !== ''))
    problems.push({
      fieldId: 'linkChecked',
      message: 'Say how the earth link was left. If it is still open, say so: that is told at once.',
    })
  else if (linkClosedAt.trim() === '')
    problems.push({ fieldId: 'linkClosedAt', message: 'Give the time when the earth link was closed.' })
  if (!state.after)
    problems.push({
      fieldId: 'after',
      message: 'Tick the box after closing once it is true. If the link is still open, choose “Still open”.',
    })
  return problems
}

function list(items: readonly (string | undefined)[]): Html {
  return html`<ul>${items.flatMap((i) => (i === undefined ? [] : html`<li>${i}</li>`))}</ul>`
}

/** Read before anything is opened; names what the register knows of this electrode. */
export function beforeOpening(electrode: Electrode | null): Html {
  const isolation = electrode?.canBeIsolated
  return html`<section class="caution"><h3>Before anything is opened</h3>${list([
    isolation === 'no'
      ? 'The register says that this electrode cannot be isolated: use a method that leaves the earth closed.'
      : undefined,
    isolation === 'outage-only' ? 'The register says: open it in an outage only.' : undefined,
    electrode?.connectedTo ? `Connected to: ${electrode.connectedTo}.` : undefined,
    CAUTIONS.link,
    CAUTIONS.lightning,
  ])}</section>`
}

/** Read before a stake is driven and a lead run out. */
export function beforeStaking(electrode: Electrode | null): Html {
  return html`<section class="caution"><h3>Before a stake is driven</h3>${list([
    electrode?.hazards ? `Hazards here: ${electrode.hazards}.` : undefined,
    CAUTIONS.driving,
    CAUTIONS.liveLines,
    CAUTIONS.energised,
    CAUTIONS.traffic,
  ])}</section>`
}

/** Read before leaving. */
export function beforeLeaving(): Html {
  return html`<section class="caution"><h3>Before you leave</h3>${list([
    'Close the link you opened and check that it is tight. An earth left open is the fatal mistake of this work.',
    'Bring every stake and lead back.',
    CAUTIONS.record,
  ])}</section>`
}
