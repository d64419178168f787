import type { JudgedSurvey } from '../../../../shared-lib/evaluate/evaluation.ts'
import type { Electrode } from '../../../../shared-lib/survey/register.ts'
import type { Survey } from '../../../../shared-lib/survey/survey.ts'
import { electrodePaths } from '../view/electrode-paths.ts'
import { errorSummary, type FormProblem } from '../view/error-summary.ts'
import { metres, ohm } from '../view/format.ts'
import { attribute, type Html, html, nothing } from '../view/html.ts'
import { KIND_WORDS } from '../view/words.ts'
import type { FormState } from './form-state.ts'
import {
  carried,
  closeStep,
  openStep,
  readingsStep,
  type StepParts,
  seenStep,
  setUpStep,
  whatStep,
  whoStep,
} from './form-steps.ts'
import { alarm, judgement, probeAdvice } from './judgement.ts'
import { readingsTable } from './survey-fields.ts'

export interface FormPageParts {
  state: FormState
  problems: readonly FormProblem[]
  /** From the register, when the id is known there. */
  electrode: Electrode | null
  /** Zone in which times are read. */
  timeZone: string
  /** Judged without being stored. */
  checked?: { survey: Survey; judged: JudgedSurvey } | undefined
  /** One sentence over the form: what the last button did. */
  notice?: string | undefined
  controlRoomPhone?: string | undefined
}

/** The whole form. Every button sends it; what was typed comes back with the answer. */
export function surveyFormPage(parts: FormPageParts): Html {
  const { state, problems, electrode, checked } = parts
  const step = { state, problems, electrode, timeZone: parts.timeZone }
  const form = formSteps(step)
  return html`${errorSummary(inPageOrder(problems, String(form)))}
${checked === undefined ? nothing : checkedPanel(checked, parts)}
${parts.notice === undefined ? nothing : html`<div class="said" role="status"><p>${parts.notice}</p></div>`}
<h1>${state.values.corrects ? `Correct survey ${state.values.corrects}` : 'Hand in a survey'}</h1>
${electrode === null ? nothing : electrodeFacts(electrode)}
${form}`
}

function formSteps(step: StepParts): Html {
  const { state } = step
  return html`<form id="survey-form" method="post" action="/surveys/new" novalidate${attribute('data-site', step.electrode?.siteId)}>
<button class="first-button" type="submit" name="action" value="check" tabindex="-1" aria-hidden="true">Check</button>
<input type="hidden" name="shown" value="${state.test}">
<input type="hidden" name="unit" value="${state.unit}">
${carried(step)}
${whatStep(step)}
${state.test === 'check-resistor' ? nothing : openStep(step)}
${state.test === 'none' ? nothing : setUpStep(step)}
${state.test === 'none' ? nothing : readingsStep(step)}
${state.test === 'check-resistor' ? nothing : closeStep(step)}
${whoStep(step)}
${seenStep(step)}
<section class="step"><h2>Hand in</h2>
<p class="hint">Check tells you at once whether the survey will stand, while the stakes are still in; nothing is stored by it.</p>
<div class="actions"><button type="submit" name="action" value="check">Check without handing in</button>
<button type="submit" class="main" name="action" value="hand-in">Hand in</button></div></section>
</form>`
}

/** The summary leads through the page from top to bottom. */
function inPageOrder(problems: readonly FormProblem[], form: string): FormProblem[] {
  const place = (p: FormProblem) => form.indexOf(` id="${p.fieldId}"`)
  return [...problems].sort((a, b) => place(a) - place(b))
}

function checkedPanel(
  { survey, judged }: NonNullable<FormPageParts['checked']>,
  { controlRoomPhone, electrode }: FormPageParts,
): Html {
  const responsibleEmail = electrode?.responsibleEmail
  return html`${alarm({ findings: judged.findings, controlRoomPhone, responsibleEmail })}
<section aria-labelledby="checked"><h2 id="checked">Checked, not handed in</h2>
<p>Nothing is stored yet. Mend what there is to mend below, then hand in.</p>
${judgement({ judged, findings: judged.findings, electrodeId: survey.electrodeId ?? null, controlRoomPhone })}
${probeAdvice(judged, survey.currentProbeM)}
${readingsTable(survey)}
<p class="actions"><button type="submit" class="main" form="survey-form" name="action" value="hand-in">Hand in as it is</button></p></section>`
}

function electrodeFacts(e: Electrode): Html {
  const facts: [string, string | undefined][] = [
    ['Electrode', `${e.electrodeId}${e.tag ? `, tag ${e.tag}` : ''}, site ${e.siteId}`],
    ['Kind', KIND_WORDS[e.kind] + (e.lengthM === undefined ? '' : `, ${metres(e.lengthM)}`)],
    ['Place', e.locationText],
    ['Limit', e.limitOhm === undefined ? 'none set' : ohm(e.limitOhm)],
    ['Usual line', e.usualLine],
    ['Usual current probe', e.usualCurrentProbeM === undefined ? undefined : metres(e.usualCurrentProbeM)],
  ]
  return html`<section class="sheet" id="register-words" aria-label="From the register"><dl class="facts">${facts.map(([term, text]) => (text === undefined ? nothing : html`<dt>${term}</dt><dd>${text}</dd>`))}</dl>
<p class="aside"><a href="${electrodePaths.electrode(e.electrodeId)}">Earlier tests of it</a></p></section>`
}
