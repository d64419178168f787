import type { Page } from '../../../../shared-lib/ledger/kept/page.ts'
import type { Upload } from '../../../../shared-lib/ledger/kept/upload.ts'
import { selectControl, textControl } from '../view/controls.ts'
import { errorSummary, type FormProblem, problemAt } from '../view/error-summary.ts'
import { age } from '../view/format.ts'
import { attribute, type Html, html, nothing } from '../view/html.ts'
import { pager } from '../view/paging.ts'
import { paths } from '../view/paths.ts'
import { DECIMAL_SIGN_CHOICES } from './reading-options.ts'
import { totalsInWords, UPLOAD_STATE_WORDS } from './totals.ts'

export interface UploadListParts {
  page: Page<Upload>
  query: { cursor?: string }
  nowMs: number
  maxUploadBytes: number
  mayRegister: boolean
  /** Names of saved column maps. */
  columnMaps: readonly string[]
  typed?: { decimalSign?: string; datePattern?: string; columnMap?: string }
  problems?: readonly FormProblem[]
}

/** Hand a file in, and the files handed in before. */
export function uploadList(parts: UploadListParts): Html {
  const problems = parts.problems ?? []
  const problem = problemAt(problems, 'file')
  const megabytes = Math.floor(parts.maxUploadBytes / 1_000_000)
  return html`${errorSummary(problems)}
<h1>Uploads</h1>
<section class="sheet narrow"><h2>Hand in a CSV file</h2>
<form method="post" action="${paths.uploads}" enctype="multipart/form-data" data-drop>
<div class="control${problem === undefined ? '' : ' wrong'}"><label for="file">CSV file of one survey or of ten years (up to ${megabytes} MB)</label>
<p class="hint" id="file-hint">Each sound survey goes in. Whatever is refused is named by row and column and can be mended here. Handing the same file in again changes nothing.</p>
${problem === undefined ? nothing : html`<p class="problem" id="file-problem">${problem}</p>`}
<input type="file" id="file" name="file" accept=".csv,.tsv,.txt,text/csv,text/plain" aria-describedby="file-hint${problem === undefined ? '' : ' file-problem'}"${attribute('aria-invalid', problem === undefined ? undefined : 'true')}></div>
<details${problems.some((p) => p.fieldId !== 'file') ? html` open` : nothing}><summary>How the file writes numbers and dates</summary>
<p class="aside">Only needed where the file itself leaves a doubt; “Look it through” shows how it was understood.</p>
${selectControl({ id: 'decimalSign', label: 'Decimal sign', value: parts.typed?.decimalSign, none: 'As the file shows', choices: DECIMAL_SIGN_CHOICES, problems })}
${textControl({ id: 'datePattern', label: 'Date pattern, such as DD/MM/YYYY HH:mm', hint: 'Leave empty for ISO 8601, such as 2026-05-04T10:20.', value: parts.typed?.datePattern, problems })}
${parts.columnMaps.length === 0 ? nothing : selectControl({ id: 'columnMap', label: 'Column map', hint: 'A saved way to read an export with headings of its own.', value: parts.typed?.columnMap, none: 'None: the headings are those of the contract', choices: parts.columnMaps.map((name) => ({ value: name, label: name })), problems })}</details>
<p class="actions"><button type="submit" class="main" name="action" value="look">Look it through</button> <button type="submit" name="action" value="hand-in">Hand in at once</button></p></form>${parts.mayRegister ? html`<p class="aside">A file of electrodes, limits, instruments or works goes <a href="${paths.registerFile}">into the register</a>.</p>` : nothing}</section>
<h2>Handed in before</h2>
${parts.page.items.length === 0 ? html`<p class="empty">No file yet.</p>` : uploadTable(parts)}
${pager(paths.uploads, parts.query, parts.page.next)}`
}

function uploadTable({ page, nowMs }: UploadListParts): Html {
  return html`<div class="scroll" role="region" aria-label="Uploads" tabindex="0"><table><caption class="unseen">Uploads</caption>
<thead><tr><th scope="col">File</th><th scope="col">Received</th><th scope="col">State</th><th scope="col">What became of it</th></tr></thead>
<tbody>${page.items.map(
    (u) =>
      html`<tr><th scope="row"><a href="${paths.upload(u.id)}">${u.fileName || 'without a name'}</a></th><td class="nowrap">${age(u.receivedAt, nowMs)}</td><td>${UPLOAD_STATE_WORDS[u.state]}</td><td class="wide">${totalsInWords(u)}</td></tr>`,
  )}</tbody></table></div>`
}
