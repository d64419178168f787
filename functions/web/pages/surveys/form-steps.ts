import type { Field } from '../../../../shared-lib/survey/field-types.ts'
import { READING_FIELDS, SURVEY_FIELDS, type SurveyKey } from '../../../../shared-lib/survey/fields.ts'
import type { Electrode } from '../../../../shared-lib/survey/register.ts'
import { areaControl, radioControl, selectControl, textControl, tickControl } from '../view/controls.ts'
import type { FormProblem } from '../view/error-summary.ts'
import { labelWithUnit, wordOf } from '../view/field-words.ts'
import { number } from '../view/format.ts'
import { flag, type Html, html, nothing } from '../view/html.ts'
import { METHOD_WORDS } from '../view/words.ts'
import { type FormState, rowDistance, shownRows, typedCurrentProbe } from './form-state.ts'
import { AFTER_LABEL, BEFORE_LABEL, beforeLeaving, beforeOpening, beforeStaking } from './safety-steps.ts'
import { hiddenKeys, referenceDetails, setUpDetails } from './shown-fields.ts'
import { TEST_KINDS, testKind } from './test-kinds.ts'

export interface StepParts {
  state: FormState
  problems: readonly FormProblem[]
  electrode: Electrode | null
  timeZone: string
}

/** What was typed into fields that this kind of test does not show, carried along so that nothing gets lost. */
export function carried({ state }: StepParts): Html {
  const hidden = [...hiddenKeys(state.test)].filter((key) => state.values[key])
  const rows = testKind(state.test).rows === 'none' ? state.rows : []
  return html`${hidden.map((key) => html`<input type="hidden" name="${key}" value="${state.values[key] ?? ''}">`)}${rows.map(
    (row, i) =>
      html`<input type="hidden" name="r${i}-distance" value="${row.distance}"><input type="hidden" name="r${i}-depth" value="${row.depth}"><input type="hidden" name="r${i}-ohm" value="${row.ohm}"><input type="hidden" name="r${i}-condition" value="${row.condition}">`,
  )}`
}

/** The control of one survey field, made from the catalogue: kind, label with unit, words. */
function control(
  key: SurveyKey,
  { state, problems }: StepParts,
  words: { label?: string; hint?: string; none?: string } = {},
): Html {
  const field: Field = SURVEY_FIELDS[key]
  const value = state.values[key]
  const inFeet = state.unit === 'ft' && field.type === 'number' && field.unit === 'm'
  const label = words.label ?? labelWithUnit(field, inFeet ? 'ft' : undefined)
  const common = {
    id: key,
    label,
    value,
    problems,
    ...(words.hint === undefined ? {} : { hint: words.hint }),
  }
  if (field.type === 'word')
    return selectControl({
      ...common,
      none: words.none ?? 'Not said',
      // Who could not test does not choose from "Tested".
      choices: field.words
        .filter((w) => key !== 'outcome' || w !== 'tested')
        .map((w) => ({ value: w, label: wordOf(field, w) })),
    })
  if (field.type === 'number')
    return textControl({
      ...common,
      kind: field.min !== undefined && field.min < 0 ? 'text' : 'decimal',
      width: 'short',
    })
  if (field.type === 'instant') return textControl({ ...common, kind: 'datetime-local' })
  return field.column === 'notes' ? areaControl(common) : textControl(common)
}

/** Fields of which one is wrong are not hidden. */
function more(summary: string, keys: readonly SurveyKey[], parts: StepParts): Html {
  const typed = (key: SurveyKey) => key !== 'surveyRef' && Boolean(parts.state.values[key]?.trim())
  const open = keys.some((key) => typed(key) || parts.problems.some((p) => p.fieldId === key))
  return html`<details${flag('open', open)}><summary>${summary}</summary><div class="pair">${keys.map((key) => control(key, parts))}</div></details>`
}

export function whatStep(parts: StepParts): Html {
  const { state, problems, timeZone } = parts
  const kind = testKind(state.test)
  return html`<section class="step"><h2>What was tested</h2>
${
  state.test === 'four-point'
    ? control('siteId', parts)
    : state.test === 'check-resistor'
      ? nothing
      : control('electrodeId', parts, { label: 'Electrode, by its id or tag' })
}
${selectControl({ id: 'test', label: 'Kind of test', value: state.test, choices: Object.entries(TEST_KINDS).map(([value, k]) => ({ value, label: k.label })), problems, hint: 'What is typed stays when it is changed.' })}
<p class="actions plain"><button type="submit" name="action" value="show">Show this form</button></p>
${state.test === 'none' ? control('outcome', parts, { label: 'Why it could not be tested', none: 'Choose the reason' }) : nothing}
${
  kind.methods.length > 1
    ? selectControl({
        id: 'method',
        label: 'Method',
        value: state.values.method ?? kind.methods[0],
        choices: kind.methods.map((m) => ({ value: m, label: METHOD_WORDS[m] })),
        problems,
      })
    : nothing
}
${control('testedAt', parts, { label: state.test === 'none' ? 'Date and time of the visit' : 'Date and time of the test', hint: `In the site’s own time (${timeZone}).` })}
${state.test === 'four-point' || state.test === 'check-resistor' || state.test === 'none' ? nothing : control('measuredAs', parts, { none: 'Choose, if known', hint: 'Each is another quantity with its own limit and history.' })}
${state.test === 'two-point' ? html`<div class="pair">${control('fromPoint', parts)}${control('toPoint', parts)}${control('leadResistanceOhm', parts)}</div>` : nothing}
${state.test === 'check-resistor' ? html`<div class="pair">${control('instrumentId', parts)}${control('knownOhm', parts)}</div>` : nothing}
${control('purpose', parts)}
${more('Repeats, second directions, corrections, and the reference', referenceDetails(state.test), parts)}
</section>`
}

export function openStep(parts: StepParts): Html {
  return html`<section class="step"><h2>Opening the link</h2>
${beforeOpening(parts.electrode)}
<p class="hint">Leave this empty where nothing was opened.</p>
${tickControl({ id: 'before', label: BEFORE_LABEL, checked: parts.state.before, problems: parts.problems })}
<div class="pair">${control('linkOpenedAt', parts)}${control('personInControl', parts)}${control('permitRef', parts)}</div></section>`
}

export function setUpStep(parts: StepParts): Html {
  const { state, electrode } = parts
  const kind = testKind(state.test)
  const staked = kind.rows === 'percent' || kind.rows === 'distance'
  const usual = electrode?.usualCurrentProbeM
  const other = state.unit === 'm' ? 'ft' : 'm'
  return html`<section class="step"><h2>Set-up</h2>
${state.test === 'check-resistor' || state.test === 'two-point' ? nothing : beforeStaking(electrode)}
${
  kind.rows === 'plain'
    ? nothing
    : html`<p>Distances on this form are read in <strong>${state.unit === 'm' ? 'metres' : 'feet'}</strong>.</p>
<p class="actions"><button type="submit" name="action" value="unit-${other}">Read them in ${other === 'ft' ? 'feet' : 'metres'} instead</button></p>`
}
${staked ? control('currentProbeM', parts, usual === undefined ? {} : { hint: `Usually ${number(usual)} m here.` }) : nothing}
${
  kind.rows === 'percent'
    ? html`<p class="hint plain">“Set the distances” works out where the potential probe stands for each reading.</p><p class="actions plain"><button type="submit" name="action" value="distances">Set the distances</button></p>`
    : nothing
}
${staked ? html`<div class="pair">${control('distanceFrom', parts)}${control('lineDirection', parts, electrode?.usualLine ? { hint: `Usually: ${electrode.usualLine}` } : {})}</div>` : nothing}
${more('Leads, stakes and stray voltage', setUpDetails(state.test), parts)}</section>`
}

/** Where the potential probe stands for a row, as far as it is known. */
export function rowPlace(state: FormState, i: number, far: number | null): string {
  const percent = testKind(state.test).positions?.[i]
  if (percent === undefined) return `Reading ${i + 1}`
  const distance = rowDistance(far, percent)
  if (distance === null) return `${percent} %`
  return `${percent} %: potential probe at ${number(Math.round(distance * 100) / 100, 6)} ${state.unit}`
}

export function readingsStep({ state, problems }: StepParts): Html {
  const kind = testKind(state.test)
  const far = typedCurrentProbe(state)
  const conditionField: Field = READING_FIELDS.condition
  const conditions =
    conditionField.type === 'word'
      ? conditionField.words.map((w) => ({ value: w, label: wordOf(conditionField, w) }))
      : []
  return html`<section class="step" id="readings" tabindex="-1"><h2>Readings</h2>
<p class="hint">Decimal point or comma. A place that was not read stays empty. Over range: choose it as the condition; a number beside it is what the display showed as its end, or write OL.</p>
${shownRows(state).map((row, i) => {
  return html`<fieldset class="reading"><legend id="r${i}-place">${rowPlace(state, i, far)}</legend>
${kind.rows === 'distance' ? textControl({ id: `r${i}-distance`, label: `Potential probe at (${state.unit})`, value: row.distance, kind: 'decimal', width: 'short', problems }) : nothing}
${kind.rows === 'spacing' ? html`${textControl({ id: `r${i}-distance`, label: `Spacing (${state.unit})`, value: row.distance, kind: 'decimal', width: 'short', problems })}${textControl({ id: `r${i}-depth`, label: `Depth of the stakes (${state.unit})`, value: row.depth, kind: 'decimal', width: 'short', problems })}` : nothing}
${textControl({ id: `r${i}-ohm`, label: 'Resistance (ohm)', value: row.ohm, kind: 'decimal', width: 'short', problems })}
${selectControl({ id: `r${i}-condition`, label: 'Condition', value: row.condition || 'ok', choices: conditions, problems })}
</fieldset>`
})}</section>`
}

export function closeStep(parts: StepParts): Html {
  const field = SURVEY_FIELDS.linkChecked
  return html`<section class="step"><h2>Putting the earth back</h2>
${beforeLeaving()}
${radioControl({ id: 'linkChecked', label: 'How the earth link was left', value: parts.state.values.linkChecked, choices: field.words.map((w) => ({ value: w, label: wordOf(field, w) })), problems: parts.problems })}
<div class="pair">${control('linkClosedAt', parts)}${control('restoredBy', parts)}</div>
${tickControl({ id: 'after', label: AFTER_LABEL, checked: parts.state.after, problems: parts.problems })}</section>`
}

export function whoStep(parts: StepParts): Html {
  return html`<section class="step"><h2>Who, with what, in what ground</h2>
<div class="pair">${control('tester', parts)}${parts.state.test === 'check-resistor' ? nothing : control('instrumentId', parts)}${control('soilState', parts)}</div>
${more('Second person, witness, temperatures, rain', ['secondPerson', 'witness', 'soilTemperatureC', 'airTemperatureC', 'rainLast48h'], parts)}</section>`
}

export function seenStep(parts: StepParts): Html {
  const hidden = hiddenKeys(parts.state.test)
  return html`<section class="step"><h2>What was seen</h2>
<div class="pair">${hidden.has('visual') ? nothing : control('visual', parts)}${hidden.has('event') ? nothing : control('event', parts)}</div>
${control('notes', parts)}</section>`
}
