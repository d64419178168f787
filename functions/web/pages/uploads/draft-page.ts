import type { Upload } from '../../../../shared-lib/ledger/kept/upload.ts'
import { subjectOf } from '../../../../shared-lib/survey/survey.ts'
import { readingsLine } from '../surveys/readings-line.ts'
import { selectControl, textControl } from '../view/controls.ts'
import { errorSummary, type FormProblem } from '../view/error-summary.ts'
import { instant, metres, number, plural } from '../view/format.ts'
import { type Html, html, nothing } from '../view/html.ts'
import { paths } from '../view/paths.ts'
import { METHOD_WORDS, OUTCOME_WORDS } from '../view/words.ts'
import { columnPointing } from './column-pointing.ts'
import { groupRefused } from './group-refused.ts'
import type { UploadPreview } from './preview-upload.ts'
import { DECIMAL_SIGN_CHOICES } from './reading-options.ts'
import { refusedGroups } from './refused-table.ts'

export interface DraftPageParts {
  upload: Upload
  preview: UploadPreview
  /** The sender's column map of an earlier file was put in by itself. */
  mapFromBefore: boolean
  typed?: { decimalSign?: string; datePattern?: string }
  problems?: readonly FormProblem[]
}

const ENCODING_WORDS = {
  'utf-8': 'UTF-8',
  'utf-16le': 'UTF-16',
  'utf-16be': 'UTF-16',
  'windows-1252': 'Latin-1 (Windows)',
}
const DELIMITER_WORDS: Record<string, string> = { ',': 'comma', ';': 'semicolon', '\t': 'tab' }

/** A file that is kept but not handed in yet: what would become of it, how it was understood, and the means to say it was not. */
export function draftPage(parts: DraftPageParts): Html {
  const { upload: u, preview: p } = parts
  const problems = parts.problems ?? []
  return html`${errorSummary(problems)}
<p class="crumbs"><a href="${paths.uploads}">Uploads</a></p>
<h1>${u.fileName || 'A file'}, looked through</h1>
<section class="sheet" aria-labelledby="would"><h2 id="would">What would become of it</h2>
${outcome(p)}
<form method="post" action="${paths.uploadHandIn(u.id)}"><p class="actions"><button type="submit" class="main"${p.surveysSound === 0 ? html` disabled` : nothing}>${handInWords(p)}</button> <a class="button" href="${paths.uploads}">Choose another file</a></p></form>
<p class="aside">Nothing is stored yet. Every row was read, with the same code that takes the file in. Surveys that are already there are told when it is handed in.</p></section>
${parts.mapFromBefore ? html`<p class="said">The columns are read as you pointed them out last time. Change them below where that is wrong.</p>` : nothing}
<h2>How it was understood</h2>
${understood(p)}
${p.firstSurveys.length === 0 ? nothing : firstSurveys(p)}
<form method="post" action="${paths.uploadLook(u.id)}">
<fieldset class="plain"><legend>Read it another way</legend><div class="pair">
${selectControl({ id: 'decimalSign', label: 'Decimal sign', value: parts.typed?.decimalSign ?? optionText(u, 'decimalSign'), none: 'As the file shows', choices: DECIMAL_SIGN_CHOICES, problems })}
${textControl({ id: 'datePattern', label: 'Date pattern, such as DD/MM/YYYY HH:mm', value: parts.typed?.datePattern ?? optionText(u, 'datePattern'), problems })}</div></fieldset>
${columnPointing(p)}
<p class="actions"><button type="submit">Look again</button></p></form>
${p.refusedCells === 0 ? nothing : wouldBeRefused(p)}`
}

const optionText = (u: Upload, name: string): string => String(u.options[name] ?? '')

function handInWords(p: UploadPreview): string {
  if (p.surveysSound === 0) return 'Nothing to hand in yet'
  return p.surveysRefused === 0
    ? `Hand in ${plural(p.surveysSound, 'survey')}`
    : `Hand in the ${plural(p.surveysSound, 'sound survey')}`
}

function outcome(p: UploadPreview): Html {
  if (p.plan === null)
    return html`<p><strong>The file as a whole would be refused.</strong> ${p.refused[0]?.problem ?? ''}</p>`
  const lines = [
    `${plural(p.surveysSound - p.surveysHeld - p.surveysOtherSite, 'survey')} would be taken in.`,
    p.surveysHeld === 0
      ? ''
      : `${plural(p.surveysHeld, 'survey')} would be held, because ${p.unknownElectrodes.length === 1 ? `electrode ${p.unknownElectrodes[0]} is` : `these electrodes are`} not in the register${p.unknownElectrodes.length > 1 ? `: ${p.unknownElectrodes.join(', ')}` : ''}.`,
    p.surveysOtherSite === 0
      ? ''
      : `${plural(p.surveysOtherSite, 'survey')} would be refused, because they belong to sites you do not hand in for.`,
    p.surveysRefused === 0
      ? ''
      : `${plural(p.surveysRefused, 'survey')} would be refused for ${plural(p.refusedCells, 'problem')}, told below; they can be mended here after handing in.`,
  ]
  return html`<p>${plural(p.plan.rows, 'row')} read, all of the file.</p><ul>${lines.filter(Boolean).map((l) => html`<li>${l}</li>`)}</ul>`
}

function understood({ head, plan }: UploadPreview): Html {
  const sign =
    plan === null
      ? null
      : plan.decimalSign === undefined
        ? 'not shown by the file'
        : plan.decimalSign === ','
          ? 'comma'
          : 'point'
  const facts: [string, string][] = [
    ['Letters', head.encoding === null ? 'not text' : ENCODING_WORDS[head.encoding]],
    ['Cells parted by', DELIMITER_WORDS[plan?.delimiter ?? head.delimiter] ?? head.delimiter],
    ...(sign === null ? [] : [['Decimal sign', sign] as [string, string]]),
    ...(plan === null
      ? []
      : [
          ['Form', plan.form === 'wide' ? 'one row a survey' : 'one row a reading'] as [string, string],
          ['Surveys', String(plan.counts.size)] as [string, string],
        ]),
  ]
  return html`<dl class="facts">${facts.map(([term, text]) => html`<dt>${term}</dt><dd>${text}</dd>`)}</dl>`
}

function firstSurveys({ firstSurveys: surveys }: UploadPreview): Html {
  return html`<div class="scroll" role="region" aria-label="The first surveys as understood" tabindex="0"><table><caption>The first ${surveys.length === 1 ? 'survey' : `${surveys.length} surveys`} as understood, in metres and ohms</caption>
<thead><tr><th scope="col">Survey</th><th scope="col">Of</th><th scope="col">Tested</th><th scope="col">Method</th><th scope="col" class="num">Current probe</th><th scope="col">Readings</th></tr></thead>
<tbody>${surveys.map(
    (
      s,
    ) => html`<tr><th scope="row">${s.surveyRef}</th><td>${subjectOf(s)?.id ?? ''}</td><td>${instant(s.testedAt)}</td>
<td>${s.outcome === 'tested' ? METHOD_WORDS[s.method] : OUTCOME_WORDS[s.outcome]}</td><td class="num">${s.currentProbeM === undefined ? '–' : metres(s.currentProbeM)}</td><td class="wide">${readingsLine(s)}</td></tr>`,
  )}</tbody></table></div>`
}

function wouldBeRefused(p: UploadPreview): Html {
  const shown = p.refused.length
  return html`<h2 id="refused">What would be refused</h2>
${shown < p.refusedCells ? html`<p>The first ${number(shown)} of ${number(p.refusedCells)} problems are shown.</p>` : nothing}
${refusedGroups(groupRefused(p.refused), null)}`
}
