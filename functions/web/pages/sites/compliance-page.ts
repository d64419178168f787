import { USUAL_RULE } from '../../../../shared-lib/evaluate/judge-limit.ts'
import type { StandingCounts } from '../../../../shared-lib/ledger/standing.ts'
import { day, ohm, ohmWithDoubt } from '../view/format.ts'
import { type Html, html, nothing } from '../view/html.ts'
import { paths } from '../view/paths.ts'
import { standingTiles } from '../view/standing-tiles.ts'
import { CONFORMITY_WORDS, KIND_WORDS, MEASURED_AS_WORDS } from '../view/words.ts'
import { type CountedFor, countedWords, type StandsAs, standsAs } from './compliance-words.ts'
import type { ComplianceRow } from './read-compliance.ts'

export interface CompliancePageParts extends Omit<CountedFor, 'rules'> {
  siteId: string
  rows: readonly ComplianceRow[]
  counts: StandingCounts
  /** Only those that name the person who looks. */
  ownOnly: boolean
  /** False: the site has more electrodes than one summary holds. */
  complete: boolean
}

const WORDS: Record<StandsAs, string> = {
  ...CONFORMITY_WORDS,
  'not-assessed': 'No limit is set',
  'no-value': 'Tested, no value',
  'never-tested': 'Never tested',
}

/** One site for an auditor, to be printed and signed: every electrode, by its newest test. Meaning is in words, never in colour. */
export function compliancePage(parts: CompliancePageParts): Html {
  const { siteId, rows, counts } = parts
  const rules = [...new Set(rows.flatMap((r) => r.record?.judged.conformityRule ?? []))]
  return html`<p class="crumbs screen"><a href="${paths.site(siteId)}">Site ${siteId}</a> · print this page on A4 or Letter, it lies on its side · <a href="${paths.complianceCsv(siteId)}">the same as CSV</a></p>
<article class="summary">
<h1>Compliance summary, site ${siteId}</h1>
${countedWords({ ...parts, rules: rules.length > 0 ? rules : [USUAL_RULE] })}
${parts.ownOnly ? html`<p><strong>Only the electrodes that name ${parts.printedBy} as responsible.</strong></p>` : nothing}
${parts.complete ? nothing : html`<p class="caution"><strong>Not complete:</strong> this site has more electrodes than one summary holds; the first ${rows.length} are here.</p>`}
${standingTiles(counts)}
${
  rows.length === 0
    ? html`<p class="empty">No electrode of this site is in the register.</p>`
    : html`<div class="scroll" role="region" aria-label="Electrodes of site ${siteId}" tabindex="0"><table class="compliance"><caption class="unseen">Electrodes of site ${siteId}, by their newest test</caption>
<thead><tr><th scope="col">Electrode</th><th scope="col">Newest test</th><th scope="col" class="num">Value (k = 2)</th><th scope="col" class="num">Limit</th><th scope="col">Basis of the limit</th><th scope="col">Stands as</th><th scope="col">Instrument, calibrated</th><th scope="col">Next due</th></tr></thead>
<tbody>${rows.map(summaryRow)}</tbody></table></div>`
}
<p class="sign">Signed: ______________________________ Date: ______________</p>
<p class="aside">The resistance of an electrode is no proof of safe step and touch voltages, nor that its conductors are whole. The operator’s rules and local law come first.</p>
</article>`
}

function summaryRow(row: ComplianceRow): Html {
  const { electrode: e, standing, record, calibration } = row
  const { survey, judged } = record ?? {}
  const last = standing?.lastValue
  return html`<tr><th scope="row"><a href="${paths.electrode(e.electrodeId)}">${e.electrodeId}</a><span class="aside">${[KIND_WORDS[e.kind], e.tag && `tag ${e.tag}`, e.locationText].filter(Boolean).join(', ')}</span></th>
<td>${survey ? html`${day(survey.testedAt)}<span class="aside"><a href="${paths.record({ kind: 'electrode', id: e.electrodeId }, survey.surveyRef)}">${survey.surveyRef}</a>, ${MEASURED_AS_WORDS[survey.measuredAs].toLowerCase()}</span>` : 'never'}</td>
<td class="num">${judged ? ohmWithDoubt(judged.resistanceOhm, judged.expandedUncertaintyOhm) : 'none'}${last ? html`<span class="aside">${ohm(last.resistanceOhm)} on ${day(new Date(last.testedAtMs).toISOString())}</span>` : nothing}</td>
<td class="num">${row.limitOhm === null ? 'none set' : ohm(row.limitOhm)}</td><td>${row.limitBasis || (row.limitOhm === null ? '' : 'not in the register')}</td>
<td><strong>${WORDS[standsAs(row)]}</strong>${judged?.validity === 'doubtful' ? html`<span class="aside">doubtful test</span>` : nothing}</td>
<td>${survey?.instrumentId ?? (survey ? 'not named' : '')}${survey?.instrumentId ? html`<span class="aside">${calibration ? day(calibration.calibratedOn) : 'no calibration in the register'}</span>` : nothing}</td>
<td>${standing?.dueOn ? day(standing.dueOn) : 'no interval'}${standing?.overdue ? html` <strong>overdue</strong>` : nothing}</td></tr>`
}
