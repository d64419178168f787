import type { ExportJob } from '../../../../shared-lib/ledger/kept/export.ts'
import { exportWords } from '../../exports/export-kinds.ts'
import { keptUntilMs } from '../../exports/export-rules.ts'
import { instant, number } from '../view/format.ts'
import { type Html, html } from '../view/html.ts'
import { paths } from '../view/paths.ts'

/** While this holds, the page looks again by itself. */
export const isUnderWay = ({ state }: ExportJob): boolean => state === 'waiting' || state === 'making'

const megabytes = (bytes: number): string => `${number(bytes / 1e6, 3)} MB`

/** An export that is made as a file: whether it is ready, and the way to it. */
export function exportPage(job: ExportJob): Html {
  return html`<h1>Export</h1>
<p class="lead">${exportWords(job)}.</p>
<div class="sheet" role="status">${state(job)}
<p class="aside">Asked for ${instant(job.askedAt)}, kept until ${instant(new Date(keptUntilMs(job)).toISOString())}. Only you find it, signed in as you are now.</p></div>`
}

function state(job: ExportJob): Html {
  if (job.state === 'ready')
    return html`<p><strong>Ready.</strong> ${megabytes(job.byteLength ?? 0)}.</p>
<p class="actions"><a class="button main" href="${paths.exportFile(job.id)}">Download the file</a></p>`
  if (job.state === 'failed') return html`<p><strong>There is no file.</strong> ${job.failure}</p>`
  return html`<p><strong>${job.state === 'making' ? 'Being made.' : 'Waiting to be made.'}</strong> It is longer than one answer may be, so it is made as a file.</p>
<progress class="progress" aria-label="Being made"></progress>
<p class="aside">This page looks again by itself. You may leave it and come back to this address.</p>`
}
