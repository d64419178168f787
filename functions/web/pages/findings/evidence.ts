import { SURVEY_FIELDS } from '../../../../shared-lib/survey/fields.ts'
import { chance, day, number } from '../view/format.ts'
import { type Html, html, nothing } from '../view/html.ts'
import { paths } from '../view/paths.ts'

/** The value and what was expected instead, where a finding rests on such a comparison. */
export function expectedWords(evidence: Record<string, unknown>): string | null {
  const { resistanceOhm, expectedOhm, expectedRangeOhm } = evidence
  if (typeof resistanceOhm !== 'number' || typeof expectedOhm !== 'number') return null
  const range = isNumberPair(expectedRangeOhm)
    ? ` (${number(expectedRangeOhm[0])} to ${number(expectedRangeOhm[1])} Ω)`
    : ''
  return `${number(resistanceOhm)} Ω, expected ${number(expectedOhm)} Ω${range}`
}

/** What else it could be, with the chance of each where one is claimed. */
export function alternativesList(evidence: Record<string, unknown>): Html {
  const others = Array.isArray(evidence['alternatives']) ? evidence['alternatives'].flatMap(asAlternative) : []
  if (others.length === 0) return nothing
  return html`<h3>What else it could be</h3><ul>${others.map(
    (a) => html`<li>${a.explanation}${a.probability === null ? '' : `: ${chance(a.probability)}`}</li>`,
  )}</ul>`
}

function asAlternative(entry: unknown): { explanation: string; probability: number | null }[] {
  if (typeof entry !== 'object' || entry === null || !('explanation' in entry)) return []
  const probability = 'probability' in entry && typeof entry.probability === 'number' ? entry.probability : null
  return [{ explanation: String(entry.explanation), probability }]
}

/** The numbers behind a finding: earlier tests as a table with links, everything else as a list of facts. */
export function evidenceDetails(evidence: Record<string, unknown>, electrodeId: string | null): Html {
  const earlier = Array.isArray(evidence['earlier']) ? evidence['earlier'].flatMap(asEarlier) : []
  const facts = Object.entries(evidence).flatMap(([key, value]) => {
    if (key === 'alternatives' || (key === 'earlier' && earlier.length > 0)) return []
    const text = factText(value)
    return text === null ? [] : [{ term: factTerm(key), text }]
  })
  if (facts.length === 0 && earlier.length === 0) return nothing
  return html`${facts.length === 0 ? nothing : html`<dl class="facts">${facts.map((f) => html`<dt>${f.term}</dt><dd>${f.text}</dd>`)}</dl>`}
${
  earlier.length === 0
    ? nothing
    : html`<div class="scroll" role="region" aria-label="Earlier tests" tabindex="0"><table><caption>Earlier tests it was compared with</caption>
<thead><tr><th scope="col">Survey</th><th scope="col">Tested</th><th scope="col" class="num">Resistance, Ω</th></tr></thead>
<tbody>${earlier.map(
        (t) =>
          html`<tr><th scope="row">${electrodeId === null ? t.surveyRef : html`<a href="${paths.survey(electrodeId, t.surveyRef)}">${t.surveyRef}</a>`}</th><td>${day(t.testedAt)}</td><td class="num">${number(t.resistanceOhm)}</td></tr>`,
      )}</tbody></table></div>`
}`
}

function asEarlier(entry: unknown): { surveyRef: string; testedAt: string; resistanceOhm: number }[] {
  if (typeof entry !== 'object' || entry === null) return []
  const e = entry as Record<string, unknown>
  return typeof e['surveyRef'] === 'string' && typeof e['resistanceOhm'] === 'number'
    ? [{ surveyRef: e['surveyRef'], testedAt: String(e['testedAt'] ?? ''), resistanceOhm: e['resistanceOhm'] }]
    : []
}

const TERMS: Record<string, string> = {
  resistanceOhm: 'Value, Ω',
  expectedOhm: 'Expected, Ω',
  expectedRangeOhm: 'Expected range, Ω',
  ratio: 'Times the expected value',
  neighbours: 'Neighbours compared with',
  sharedShiftPercent: 'Shift shared with the neighbours, %',
}
const UNITS: [suffix: string, unit: string][] = [
  ['PercentPerYear', ', % a year'],
  ['Percent', ', %'],
  ['OhmM', ', Ω·m'],
  ['Ohm', ', Ω'],
  ['Deg', ', °'],
  ['Years', ', years'],
  ['M', ', m'],
  ['V', ', V'],
]

/** A heading for a key of the evidence: a field's own label where it is one, else the key in words with its unit. */
function factTerm(key: string): string {
  if (TERMS[key]) return TERMS[key]
  const unit = UNITS.find(([suffix]) => key.endsWith(suffix) && key !== suffix)
  const label = Object.hasOwn(SURVEY_FIELDS, key) ? SURVEY_FIELDS[key as keyof typeof SURVEY_FIELDS].label : null
  const words = (unit ? key.slice(0, -unit[0].length) : key).replace(/([A-Z])/g, (c) => ` ${c.toLowerCase()}`)
  return (label ?? words.charAt(0).toUpperCase() + words.slice(1)) + (unit ? unit[1] : '')
}

/** Plain words for a value of the evidence; null when there is nothing to show. */
function factText(value: unknown): string | null {
  if (value === null || value === undefined || value === '') return null
  if (typeof value === 'number') return number(value)
  if (typeof value === 'boolean') return value ? 'yes' : 'no'
  if (typeof value === 'string') return value
  if (Array.isArray(value)) {
    const parts = value.map(factText).filter((v) => v !== null)
    if (parts.length === 0) return null
    return isNumberPair(value) ? parts.join(' to ') : parts.join('; ')
  }
  const parts = Object.entries(value as Record<string, unknown>).flatMap(([k, v]) => {
    const text = factText(v)
    return text === null ? [] : [`${factTerm(k)} ${text}`]
  })
  return parts.length === 0 ? null : parts.join(', ')
}

function isNumberPair(value: unknown): value is [number, number] {
  return Array.isArray(value) && value.length === 2 && value.every((v) => typeof v === 'number')
}
