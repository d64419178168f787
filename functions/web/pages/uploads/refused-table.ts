import { SURVEY_CATALOGUE } from '../../../../shared-lib/survey/catalogue.ts'
import { plural } from '../view/format.ts'
import { attribute, type Html, html, nothing } from '../view/html.ts'
import type { RefusedGroup, RefusedValue } from './group-refused.ts'
import { offerCorrections } from './offer-corrections.ts'

/** Form names of one mended content and of what it was: `fix-3` with `of-3`. */
export const FIX_PREFIX = 'fix-'
export const OF_PREFIX = 'of-'

const MOST_ROWS_NAMED = 6

/**
 * Refused cells by equal errors. With `mendFrom` each content has a control for what it should say, in which a correction is offered;
 * with null it is only told. Ids count on from `mendFrom`, so that several tables can stand on one page.
 */
export function refusedGroups(groups: readonly RefusedGroup[], mendFrom: number | null): Html {
  let next = mendFrom ?? 0
  return html`${groups.map((group) => {
    const first = next
    next += group.values.length
    return groupTable(group, mendFrom === null ? null : first)
  })}`
}

function groupTable(group: RefusedGroup, first: number | null): Html {
  const title = group.column === null ? 'Whole rows' : group.column
  const caption = `${title}: ${plural(group.cells, 'cell')}, ${group.code.replaceAll('-', ' ')}`
  // The sentence stands before the table: a caption is as wide as its table, and would be cut off on a phone.
  return html`<p class="refused"><strong>${title}</strong>, ${plural(group.cells, 'cell')}: ${group.problem}</p>
<div class="scroll" role="region" aria-label="${caption}" tabindex="0"><table><caption class="unseen">${caption}</caption>
<thead><tr><th scope="col">Rows</th><th scope="col">Found</th>${first === null ? nothing : html`<th scope="col">Should say</th>`}<th scope="col">Surveys</th></tr></thead>
<tbody>${group.values.map((value, i) => valueRow(group, value, first === null ? null : first + i))}</tbody></table></div>`
}

function valueRow(group: RefusedGroup, value: RefusedValue, at: number | null): Html {
  return html`<tr><th scope="row">${rowsWords(value.rows)}</th><td>${value.value === null || value.value === '' ? 'nothing' : html`<code>${value.value}</code>`}</td>
${at === null ? nothing : html`<td class="fix">${fixControl(group, value, at)}</td>`}<td class="wide">${someOf(value.surveyRefs)}</td></tr>`
}

function fixControl(group: RefusedGroup, value: RefusedValue, at: number): Html {
  if (group.column === null || value.rows.length === 0) return html`Mend it in the file.`
  const offered = offerCorrections({ code: group.code, column: group.column, value: value.value })
  const unit = SURVEY_CATALOGUE.find(group.column)?.field.type === 'number' ? 'decimal' : undefined
  const label = `${group.column} in ${rowsWords(value.rows)}`
  const id = `${FIX_PREFIX}${at}`
  return html`<input type="hidden" name="${OF_PREFIX}${at}" value="${value.key}"><input type="text" id="${id}" name="${id}" aria-label="${label}"${attribute('inputmode', unit)} autocomplete="off"${attribute('list', offered.length > 0 ? `${id}-offer` : undefined)}>${
    offered.length === 0
      ? nothing
      : html`<datalist id="${id}-offer">${offered.map((o) => html`<option value="${o}"></option>`)}</datalist><span class="aside">perhaps ${offered.slice(0, 3).join(' or ')}</span>`
  }`
}

function rowsWords(rows: readonly number[]): string {
  if (rows.length === 0) return 'the file'
  const named = rows.slice(0, MOST_ROWS_NAMED).join(', ')
  const more = rows.length - MOST_ROWS_NAMED
  return `${rows.length === 1 ? 'row' : 'rows'} ${named}${more > 0 ? ` and ${more} more` : ''}`
}

const someOf = (refs: readonly string[]): string =>
  refs.length <= MOST_ROWS_NAMED
    ? refs.join(', ')
    : `${refs.slice(0, MOST_ROWS_NAMED).join(', ')} and ${refs.length - MOST_ROWS_NAMED} more`
