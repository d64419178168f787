import type { Field } from '../../../../shared-lib/survey/field-types.ts'
import { SURVEY_FIELDS, SURVEY_GROUPS, type SurveyKey } from '../../../../shared-lib/survey/fields.ts'
import type { Reading, Survey } from '../../../../shared-lib/survey/survey.ts'
import { valueWords } from '../view/field-words.ts'
import { metres, number } from '../view/format.ts'
import { type Html, html, nothing } from '../view/html.ts'
import { CONDITION_WORDS } from '../view/words.ts'

const ENTRIES = Object.entries(SURVEY_FIELDS) as [SurveyKey, Field][]

/** Every field that was handed in, under the headings of the catalogue. What was not given is not shown. */
export function surveyFields(survey: Survey): Html {
  return html`<div class="columns">${SURVEY_GROUPS.map((group) => {
    const given = ENTRIES.filter(([key, field]) => field.group === group && survey[key] !== undefined)
    return given.length === 0
      ? nothing
      : html`<section><h3>${group.charAt(0).toUpperCase() + group.slice(1)}</h3><dl class="facts">${given.map(
          ([key, field]) =>
            html`<dt>${field.label}</dt><dd>${valueWords(field, survey[key] as string | number)}</dd>`,
        )}</dl></section>`
  })}</div>`
}

/** The readings as understood: distances in metres and in % of the current probe's, values in ohms. */
export function readingsTable(survey: Pick<Survey, 'readings' | 'currentProbeM' | 'method'>): Html {
  if (survey.readings.length === 0) return html`<p>No readings.</p>`
  const fourPoint = survey.method === 'four-point'
  const placed = survey.readings.some((r) => r.potentialProbeM !== undefined)
  return html`<div class="scroll" role="region" aria-label="Readings" tabindex="0"><table class="snug"><caption>Readings as understood</caption>
<thead><tr>${
    fourPoint
      ? html`<th scope="col" class="num">Spacing</th><th scope="col" class="num">Depth</th>`
      : placed
        ? html`<th scope="col">Potential probe</th>`
        : html`<th scope="col">Reading</th>`
  }<th scope="col" class="num">Resistance</th><th scope="col">Condition</th></tr></thead>
<tbody>${survey.readings.map(
    (r, i) =>
      html`<tr>${
        fourPoint
          ? html`<th scope="row" class="num">${r.probeSpacingM === undefined ? '–' : metres(r.probeSpacingM)}</th><td class="num">${r.probeDepthM === undefined ? '–' : metres(r.probeDepthM)}</td>`
          : placed
            ? html`<th scope="row">${place(r, survey.currentProbeM)}</th>`
            : html`<th scope="row">${i + 1}</th>`
      }<td class="num">${readingValue(r)}</td><td>${CONDITION_WORDS[r.condition]}</td></tr>`,
  )}</tbody></table></div>`
}

function place(r: Reading, currentProbeM: number | undefined): string {
  if (r.potentialProbeM === undefined) return 'not given'
  const share = currentProbeM ? ` (${number((100 * r.potentialProbeM) / currentProbeM, 3)} %)` : ''
  return metres(r.potentialProbeM) + share
}

function readingValue(r: Reading): string {
  if (r.resistanceOhm !== undefined) return `${number(r.resistanceOhm, 7)} Ω`
  return r.atLeastOhm === undefined ? '–' : `more than ${number(r.atLeastOhm, 7)} Ω`
}
