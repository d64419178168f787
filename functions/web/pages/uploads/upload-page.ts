import type { Page, RefusedRow, Upload } from '../../../../shared-lib/ledger/ledger.ts'
import { instant, number, plural } from '../view/format.ts'
import { type Html, html, nothing } from '../view/html.ts'
import { pager } from '../view/paging.ts'
import { paths } from '../view/paths.ts'
import { surveysRead, totalsInWords, UPLOAD_STATE_WORDS } from './totals.ts'

export interface UploadPageParts {
  upload: Upload
  refused: Page<RefusedRow>
  query: { cursor?: string }
}

export const isFinished = (upload: Upload): boolean => upload.state === 'done' || upload.state === 'failed'

/** One upload: how far it is, what became of each survey, and what to mend where. */
export function uploadPage({ upload: u, refused, query }: UploadPageParts): Html {
  return html`<p class="crumbs"><a href="${paths.uploads}">Uploads</a></p>
<h1>${u.fileName || 'Upload'}</h1>
<div class="sheet" role="status"><p><strong>${UPLOAD_STATE_WORDS[u.state]}.</strong> ${totalsInWords(u)}</p>
${isFinished(u) ? nothing : progress(u)}
<p class="aside">${number(u.byteLength / 1000, 3)} kB, received ${instant(u.receivedAt)}${u.finishedAt ? `, finished ${instant(u.finishedAt)}` : ''}. Upload ${u.id}.</p></div>
${counts(u)}
${u.ignoredColumns.length === 0 ? nothing : html`<h2>Columns that were not read</h2><p>${u.ignoredColumns.join(', ')}. Nothing is known by these names; everything else was read.</p>`}
${u.surveysHeld === 0 ? nothing : html`<p>Held surveys wait, whole, until their electrode is in the register; nothing has to be handed in again.</p>`}
${refusedTable(u, refused, query)}`
}

function progress(u: Upload): Html {
  const bar =
    u.rowsTotal === null || u.rowsTotal === 0
      ? html`<progress class="progress" aria-label="Reading the file"></progress>`
      : html`<progress class="progress" max="${u.rowsTotal}" value="${u.rowsRead}" aria-label="Rows read"></progress><p>${u.rowsRead} of ${u.rowsTotal} rows read.</p>`
  return html`${bar}<p class="aside">This page loads itself again every 2 seconds until the file is done. You may leave it; the work goes on.</p>`
}

function counts(u: Upload): Html {
  if (surveysRead(u) === 0) return nothing
  const rows: [string, number][] = [
    ['Accepted', u.surveysAccepted],
    ['Already there, the same', u.surveysAlreadyThere],
    ['Held until the electrode is matched', u.surveysHeld],
    ['Refused', u.surveysRefused],
  ]
  return html`<table class="narrow"><caption>Surveys</caption><tbody>${rows.map(([label, n]) => html`<tr><th scope="row">${label}</th><td class="num">${n}</td></tr>`)}
<tr><th scope="row"><strong>Read</strong></th><td class="num"><strong>${surveysRead(u)}</strong></td></tr></tbody></table>`
}

function refusedTable(u: Upload, refused: Page<RefusedRow>, query: { cursor?: string }): Html {
  if (u.rowsRefused === 0 && refused.items.length === 0) return nothing
  return html`<h2 id="refused">What to mend</h2>
<p>${plural(u.rowsRefused, 'problem')}. Row numbers are those of a spreadsheet: the heading is row 1. A survey with one bad row is refused as a whole. Mend the file and hand it in again: what is already there stays as it is.</p>
<p class="screen"><a href="${paths.upload(u.id)}/refused.csv">Download all of them as CSV</a></p>
<div class="scroll" role="region" aria-label="Refused rows" tabindex="0"><table><caption class="unseen">Refused rows</caption>
<thead><tr><th scope="col" class="num">Row</th><th scope="col">Column</th><th scope="col">Found</th><th scope="col">What to do</th><th scope="col">Survey</th></tr></thead>
<tbody>${refused.items.map(
    (r) =>
      html`<tr><th scope="row" class="num">${r.row ?? 'file'}</th><td><code>${r.column ?? ''}</code></td><td>${r.value === null ? '' : html`<code>${r.value}</code>`}</td><td class="wide">${r.problem}</td><td>${r.surveyRef ?? ''}</td></tr>`,
  )}</tbody></table></div>
${pager(paths.upload(u.id), query, refused.next)}`
}
