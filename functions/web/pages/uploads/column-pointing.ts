import { isRemarkColumn } from '../../../../shared-lib/survey/catalogue.ts'
import { flag, type Html, html, nothing } from '../view/html.ts'
import { COLUMN_CHOICES, meaningOf } from './column-choices.ts'
import type { UploadPreview } from './preview-upload.ts'

/** Form name of the control of a column. */
export const columnName = (index: number): string => `column-${index}`

/** The columns of a file, each with its first cells and a control to point at what it means. Those not understood come first. */
export function columnPointing({ head, columnMap, plan }: UploadPreview): Html {
  const columns = head.headings
    .map((heading, index) => ({ heading: heading.trim(), index, means: meaningOf(heading, columnMap) }))
    .filter(({ heading }) => heading !== '' && !isRemarkColumn(heading))
  const strange = columns.filter((c) => c.means === '')
  const clear = columns.filter((c) => c.means !== '')
  return html`${
    strange.length === 0
      ? nothing
      : html`<h3>Columns nothing is known by these names</h3><p>Point each at what it means, or leave it: then it is passed over. What you point out is remembered for your next file.</p>${columnTable(strange, head.samples, 'Columns not understood')}`
  }
${clear.length === 0 ? nothing : html`<details${flag('open', plan === null)}><summary>The ${clear.length} columns that were understood</summary>${columnTable(clear, head.samples, 'Columns understood')}</details>`}`
}

interface Pointed {
  heading: string
  index: number
  means: string
}

function columnTable(columns: readonly Pointed[], samples: readonly string[][], caption: string): Html {
  return html`<div class="scroll" role="region" aria-label="${caption}" tabindex="0"><table class="snug"><caption class="unseen">${caption}</caption>
<thead><tr><th scope="col">Heading</th><th scope="col">First cells</th><th scope="col">Means</th></tr></thead>
<tbody>${columns.map(
    ({
      heading,
      index,
      means,
    }) => html`<tr><th scope="row" id="heading-${index}">${heading}</th><td class="wide">${samples
      .flatMap((row) => row[index]?.trim() || [])
      .join(' · ')
      .slice(0, 120)}</td>
<td><select name="${columnName(index)}" aria-labelledby="heading-${index}">${means === '' ? html`<option value="">Passed over</option>` : nothing}${COLUMN_CHOICES.map((c) => html`<option value="${c.value}"${flag('selected', c.value === means)}>${c.label}</option>`)}${means === '' || COLUMN_CHOICES.some((c) => c.value === means) ? nothing : html`<option value="${means}" selected>${means}</option>`}</select></td></tr>`,
  )}</tbody></table></div>`
}
