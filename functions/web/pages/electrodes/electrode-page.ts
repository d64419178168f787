import type { ElectrodeFile } from '../../../../shared-lib/ledger/kept/electrode.ts'
import type { Field } from '../../../../shared-lib/survey/field-types.ts'
import type { Electrode, Limit } from '../../../../shared-lib/survey/register.ts'
import { ELECTRODE_FIELDS } from '../../../../shared-lib/survey/register-fields.ts'
import { queueCard } from '../findings/queue-card.ts'
import { valueWords } from '../view/field-words.ts'
import { day, ohm, plural } from '../view/format.ts'
import { type Html, html, nothing } from '../view/html.ts'
import { paths, withQuery } from '../view/paths.ts'
import { KIND_WORDS, plainWord } from '../view/words.ts'
import { historySection } from './history-section.ts'

export interface ElectrodePageParts {
  file: ElectrodeFile
  nowMs: number
  mayDecide: boolean
  /** Shows the ways to the register's forms. */
  mayRegister: boolean
}

/** One electrode: what is open about it, what it is, and every test of it. */
export function electrodePage({ file, nowMs, mayDecide, mayRegister }: ElectrodePageParts): Html {
  const { electrode: e, lastTestedAt, dueOn } = file.record
  const open = file.findings
    .filter((f) => f.state === 'open')
    .sort((a, b) => (a.openedAt < b.openedAt ? 1 : -1))
  return html`<p class="crumbs"><a href="${paths.electrodes}">Electrodes</a> · <a href="${paths.site(e.siteId)}">Site ${e.siteId}</a></p>
<h1>Electrode ${e.electrodeId}</h1>
<p>${KIND_WORDS[e.kind]}${e.locationText ? `, ${e.locationText}` : ''}. ${lastTestedAt ? `Last tested ${day(lastTestedAt)}.` : 'Never tested.'} ${dueOn ? `Next test due ${day(dueOn)}.` : ''}</p>
<p class="actions screen"><a class="button main" href="${paths.newSurvey(e.electrodeId)}">Hand in a survey</a> <a class="button" href="${paths.planOf(e.electrodeId)}">Plan a survey</a>${mayRegister ? registerLinks(e.electrodeId) : nothing} <a class="button" href="/api/export/surveys.csv?electrode=${encodeURIComponent(e.electrodeId)}">Its surveys as CSV</a></p>
${e.hazards ? html`<section class="caution"><h2>Hazards here</h2><p>${e.hazards}</p></section>` : nothing}
${
  open.length === 0
    ? nothing
    : html`<h2>${plural(open.length, 'open finding')}</h2>${open.slice(0, 10).map((f) => queueCard({ finding: f, nowMs, mayDecide, level: 3 }))}${
        open.length > 10
          ? html`<p><a href="${withQuery(paths.findings, { electrode: e.electrodeId })}">All ${open.length} open findings</a></p>`
          : nothing
      }`
}
${historySection(file)}
${limitsTable(e, file.limits)}
${worksTable(file)}
<h2>From the register</h2>
${registerFacts(e)}`
}

function registerLinks(id: string): Html {
  return html` <a class="button" href="${withQuery(paths.editElectrode, { id })}">Change its words</a> <a class="button" href="${withQuery(paths.addLimit, { electrode: id })}">Add a limit</a> <a class="button" href="${withQuery(paths.addWork, { electrode: id })}">Record work</a>`
}

function limitsTable(e: Electrode, limits: readonly Limit[]): Html {
  if (limits.length === 0)
    return html`<h2>Limit</h2><p>${e.limitOhm === undefined ? 'No limit is set.' : `${ohm(e.limitOhm)}, the register’s plain limit${e.limitBasis ? ` (${e.limitBasis})` : ''}.`}</p>`
  return html`<h2>Limits</h2><div class="scroll" role="region" aria-label="Limits" tabindex="0"><table><caption>Each is judged for itself; the newest in force at a test counts</caption>
<thead><tr><th scope="col">For</th><th scope="col" class="num">Limit</th><th scope="col">Applies to</th><th scope="col">From</th><th scope="col">Basis</th></tr></thead>
<tbody>${limits.map((l) => html`<tr><th scope="row">${l.purpose}</th><td class="num">${ohm(l.limitOhm)}</td><td>${plainWord(l.appliesTo ?? 'electrode-alone')}</td><td>${l.validFrom ? day(l.validFrom) : 'always'}</td><td>${[l.basis, l.edition].filter(Boolean).join(', ')}</td></tr>`)}</tbody></table></div>`
}

function worksTable(file: ElectrodeFile): Html {
  if (file.works.length === 0) return nothing
  return html`<h2>Recorded work</h2><ul>${[...file.works]
    .sort((a, b) => (a.doneOn < b.doneOn ? 1 : -1))
    .map((w) => html`<li>${day(w.doneOn)}: ${plainWord(w.what)}${w.notes ? `, ${w.notes}` : ''}</li>`)}</ul>`
}

/** Everything the register says, in the order of its catalogue; what is not known is left out. */
function registerFacts(e: Electrode): Html {
  const given = (Object.entries(ELECTRODE_FIELDS) as [keyof Electrode, Field][]).filter(
    ([key]) => e[key] !== undefined,
  )
  return html`<dl class="facts">${given.map(([key, field]) => html`<dt>${field.label}</dt><dd>${valueWords(field, e[key] as string | number)}</dd>`)}</dl>`
}
