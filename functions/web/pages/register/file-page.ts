import type { Loaded, RegisterTable } from '../../load-register-table.ts'
import { errorSummary, type FormProblem, problemAt } from '../view/error-summary.ts'
import { plural } from '../view/format.ts'
import { attribute, type Html, html, nothing, raw } from '../view/html.ts'
import { paths, withQuery } from '../view/paths.ts'

/** What each table is called, and the columns it cannot do without. */
const TABLE_WORDS: Record<RegisterTable, { title: string; needed: string }> = {
  electrodes: { title: 'Electrodes', needed: 'electrode_id, site_id, kind' },
  limits: { title: 'Limits', needed: 'electrode_id, purpose, limit_ohm' },
  instruments: { title: 'Instruments and calibrations', needed: 'instrument_id, calibrated_on' },
  works: { title: 'Works', needed: 'electrode_id, done_on, what' },
}

export interface FilePageParts {
  table: RegisterTable
  loaded?: Loaded
  problems?: readonly FormProblem[]
}

/** A table of the register as a CSV file: what it needs, and what became of the one that was sent. */
export function filePage({ table, loaded, problems = [] }: FilePageParts): Html {
  const problem = problemAt(problems, 'file')
  const { title, needed } = TABLE_WORDS[table]
  return html`${errorSummary(problems)}
<p class="crumbs"><a href="${paths.electrodes}">Electrodes</a> · <a href="${paths.instruments}">Instruments</a></p>
<h1>The register as CSV</h1>
<p class="views">${Object.entries(TABLE_WORDS).map(([name, words], i) => html`${i === 0 ? '' : ' · '}<a href="${withQuery(paths.registerFile, { table: name })}"${name === table ? raw(' aria-current="page"') : nothing}>${words.title}</a>`)}</p>
${loaded === undefined ? nothing : loadedBox(loaded)}
<section class="sheet narrow"><h2>${title}</h2>
<form method="post" action="${withQuery(paths.registerFile, { table })}" enctype="multipart/form-data">
<div class="control${problem === undefined ? '' : ' wrong'}"><label for="file">CSV file</label>
<p class="hint" id="file-hint">Needed: ${needed}. One row an entry; a row that cannot be read is left out and named here, the others stand. Loading the same file again changes nothing.</p>
${problem === undefined ? nothing : html`<p class="problem" id="file-problem">${problem}</p>`}
<input type="file" id="file" name="file" accept=".csv,.tsv,.txt,text/csv,text/plain" aria-describedby="file-hint${problem === undefined ? '' : ' file-problem'}"${attribute('aria-invalid', problem === undefined ? undefined : 'true')}></div>
<p class="actions"><button type="submit" class="main">Load it</button> <a class="button" href="${paths.registerCsv(table)}">Download what is there now</a></p></form></section>`
}

const MOST_SHOWN = 200

function loadedBox({
  created,
  changed,
  same,
  released,
  refused,
  ignoredColumns,
  unknownElectrodes,
}: Loaded): Html {
  const rows = new Set(refused.map((r) => r.row)).size
  const unknown = unknownElectrodes ?? []
  return html`<div class="said" role="status"><p><strong>${created} new, ${changed} changed, ${same} as they were${rows === 0 ? '' : `, ${plural(rows, 'row')} left out`}.</strong>${released ? ` ${plural(released, 'held survey')} taken in.` : ''}</p>
${ignoredColumns.length === 0 ? nothing : html`<p>Columns that were not read: ${ignoredColumns.join(', ')}.</p>`}
${unknown.length === 0 ? nothing : html`<p>Not in the register yet: ${unknown.slice(0, MOST_SHOWN).join(', ')}. Their entries wait for them.</p>`}</div>
${refused.length === 0 ? nothing : refusedRows(refused)}`
}

function refusedRows(refused: Loaded['refused']): Html {
  const more = refused.length - MOST_SHOWN
  return html`<h2>What to mend</h2><p>Row numbers are those of a spreadsheet: the heading is row 1. Mend these in the file and load it again.</p>
<div class="scroll" role="region" aria-label="What to mend" tabindex="0"><table><caption class="unseen">Rows that were left out</caption>
<thead><tr><th scope="col" class="num">Row</th><th scope="col">Column</th><th scope="col">Found</th><th scope="col">What is wrong</th></tr></thead>
<tbody>${refused.slice(0, MOST_SHOWN).map((r) => html`<tr><th scope="row" class="num">${r.row ?? 'file'}</th><td>${r.column ?? ''}</td><td class="wide">${r.value ?? ''}</td><td class="wide">${r.problem}</td></tr>`)}</tbody></table></div>
${more > 0 ? html`<p>And ${more} more.</p>` : nothing}`
}
