import { factTerm, isChance } from '../../../../shared-lib/survey/fact-term.ts'
import { electrodePaths } from '../view/electrode-paths.ts'
import { chance, day, number } from '../view/format.ts'
import { type Html, html, nothing } from '../view/html.ts'

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
  const others = Array.isArray(evidence.alternatives) ? evidence.alternatives.flatMap(asAlternative) : []
  if (others.length === 0) return nothing
  return html`<h3>What else it could be</h3><ul>${others.map(
    (a) => html`<li>${a.explanation}${a.probability === null ? '' : `: ${chance(a.probability)}`}</li>`,
  )}</ul>`
}

function asAlternative(entry: unknown): { explanation: string; probability: number | null }[] {
  if (typeof entry !== 'object' || entry === null || !('explanation' in entry)) return []
  const probability =
    'probability' in entry && typeof entry.probability === 'number' ? entry.probability : null
  return [{ explanation: String(entry.explanation), probability }]
}

/** The numbers behind a finding: a list of facts, and each list of like things as a table. Null when there is nothing to show. */
export function evidenceDetails(evidence: Record<string, unknown>, electrodeId: string | null): Html | null {
  const shown = Object.entries(evidence).filter(([key]) => key !== 'alternatives')
  const facts = shown.flatMap(([key, value]) => {
    const text = isTable(value) ? null : factText(key, value)
    return text === null ? [] : [{ term: factTerm(key), text }]
  })
  const tables = shown.filter((entry): entry is [string, Row[]] => isTable(entry[1]))
  if (facts.length === 0 && tables.length === 0) return null
  return html`${facts.length === 0 ? nothing : html`<dl class="facts">${facts.map((f) => html`<dt>${f.term}</dt><dd>${f.text}</dd>`)}</dl>`}
${tables.map(([key, rows]) => evidenceTable(key === 'earlier' ? 'Earlier tests it was compared with' : factTerm(key), rows, electrodeId))}`
}

type Row = Record<string, unknown>

function isTable(value: unknown): value is Row[] {
  return (
    Array.isArray(value) &&
    value.length > 0 &&
    value.every((v) => typeof v === 'object' && v !== null && !Array.isArray(v))
  )
}

function evidenceTable(caption: string, rows: Row[], electrodeId: string | null): Html {
  const keys = [...new Set(rows.flatMap((row) => Object.keys(row)))]
  const cell = (row: Row, key: string) => {
    const value = row[key]
    const text = factText(key, value) ?? ''
    if (key === 'surveyRef' && electrodeId !== null && text !== '')
      return html`<td><a href="${electrodePaths.survey(electrodeId, text)}">${text}</a></td>`
    return html`<td${typeof value === 'number' ? html` class="num"` : nothing}>${text}</td>`
  }
  return html`<div class="scroll" role="region" aria-label="${caption}" tabindex="0"><table class="snug"><caption>${caption}</caption>
<thead><tr>${keys.map((key) => html`<th scope="col">${factTerm(key)}</th>`)}</tr></thead>
<tbody>${rows.map((row) => html`<tr>${keys.map((key) => cell(row, key))}</tr>`)}</tbody></table></div>`
}

/** Plain words for a value of the evidence; null when there is nothing to show. */
function factText(key: string, value: unknown): string | null {
  if (value === null || value === undefined || value === '') return null
  if (typeof value === 'number') return isChance(key) ? chance(value) : number(value)
  if (typeof value === 'boolean') return value ? 'yes' : 'no'
  if (typeof value === 'string') return /At$|On$/.test(key) ? day(value) : value
  if (Array.isArray(value)) {
    const parts = value.map((v) => factText(key, v)).filter((v) => v !== null)
    if (parts.length === 0) return null
    return isNumberPair(value) ? parts.join(' to ') : parts.join('; ')
  }
  const parts = Object.entries(value as Row).flatMap(([k, v]) => {
    const text = factText(k, v)
    return text === null ? [] : [`${factTerm(k)} ${text}`]
  })
  return parts.length === 0 ? null : parts.join(', ')
}

function isNumberPair(value: unknown): value is [number, number] {
  return Array.isArray(value) && value.length === 2 && value.every((v) => typeof v === 'number')
}
