import type { RefusedRow, Upload } from '../../../../shared-lib/ledger/kept/upload.ts'
import { errorSummary, type FormProblem } from '../view/error-summary.ts'
import { instant, number, plural } from '../view/format.ts'
import { type Html, html, nothing } from '../view/html.ts'
import { paths } from '../view/paths.ts'
import { groupRefused } from './group-refused.ts'
import { refusedGroups } from './refused-table.ts'
import { rowsInWords, surveysRead, totalsInWords, UPLOAD_STATE_WORDS } from './totals.ts'

export interface UploadPageParts {
  upload: Upload
  /** Grouped on this page; all of them are in the downloads. */
  refused: readonly RefusedRow[]
  refusedMore: boolean
  problems?: readonly FormProblem[]
}

export const isFinished = (upload: Upload): boolean => upload.state === 'done' || upload.state === 'failed'

/** One upload: how far it is, what became of each survey, and what to mend where. */
export function uploadPage({ upload: u, refused, refusedMore, problems }: UploadPageParts): Html {
  return html`${errorSummary(problems ?? [])}
<p class="crumbs"><a href="${paths.uploads}">Uploads</a>${u.mends === undefined ? nothing : html` · <a href="${paths.upload(u.mends)}">The upload these rows were mended in</a>`}</p>
<h1>${u.fileName || 'Upload'}</h1>
<div class="sheet" role="status"${isFinished(u) ? nothing : html` data-upload="${u.id}"`}><p><strong>${UPLOAD_STATE_WORDS[u.state]}.</strong> <span data-rows>${rowsInWords(u)}</span> ${totalsInWords(u)}</p>
${isFinished(u) ? nothing : progress(u)}
<p class="aside">${sizeWords(u.byteLength)}, received ${instant(u.receivedAt)}${u.finishedAt ? `, finished ${instant(u.finishedAt)}` : ''}. Upload ${u.id}.</p></div>
${counts(u)}
${u.ignoredColumns.length === 0 ? nothing : html`<h2>Columns that were not read</h2><p>${u.ignoredColumns.join(', ')}. Nothing is known by these names; everything else was read.</p>`}
${u.surveysHeld === 0 ? nothing : html`<p>Held surveys wait, whole, until their electrode is in the register; nothing has to be handed in again.</p>`}
${refusedPart(u, refused, refusedMore)}`
}

const sizeWords = (bytes: number): string =>
  bytes < 1000 ? plural(bytes, 'byte') : `${number(bytes / 1000, 3)} kB`

function progress(u: Upload): Html {
  const bar =
    u.rowsTotal === null || u.rowsTotal === 0
      ? html`<progress class="progress" aria-label="Rows read"></progress>`
      : html`<progress class="progress" max="${u.rowsTotal}" value="${Math.min(u.rowsRead, u.rowsTotal)}" aria-label="Rows read"></progress>`
  return html`${bar}<p class="aside">This page follows the work by itself. You may leave it; the work goes on.</p>`
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

function refusedPart(u: Upload, refused: readonly RefusedRow[], more: boolean): Html {
  if (u.rowsRefused === 0 && refused.length === 0) return nothing
  const wholeFile = refused.every((r) => r.row === null)
  const downloads = html`<p class="screen"><a href="${paths.upload(u.id)}/refused-rows.csv">Download the refused surveys with remarks</a> (mend them there and hand that file in; the remarks are passed over) · <a href="${paths.upload(u.id)}/refused.csv">Download the list of problems</a></p>`
  const groups = groupRefused(refused)
  if (wholeFile) return html`<h2 id="refused">What to mend</h2>${refusedGroups(groups, null)}`
  return html`<h2 id="refused">What to mend</h2>
<p>${plural(u.rowsRefused, 'row')} with a problem, grouped by what is wrong. Row numbers are those of a spreadsheet: the heading is row 1. A survey with one bad row is refused whole, and waits whole.${more ? ` The first ${refused.length} problems are shown; the downloads have all.` : ''}</p>
${downloads}
<form method="post" action="${paths.uploadMend(u.id)}">
<p>Write what a cell should say and hand the mended surveys in from here: each correction goes to every row named beside it. What you leave empty stays refused.</p>
${refusedGroups(groups, 0)}
<p class="actions screen"><button type="submit" class="main">Hand in the mended surveys</button></p></form>`
}
