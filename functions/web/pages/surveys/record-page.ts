import type { SurveyRecord } from '../../../../shared-lib/ledger/kept/survey.ts'
import type { Finding } from '../../../../shared-lib/survey/finding.ts'
import type { Calibration, Electrode } from '../../../../shared-lib/survey/register.ts'
import type { Survey } from '../../../../shared-lib/survey/survey.ts'
import { curvePlot } from '../charts/curve-plot.ts'
import { chance, day, instant, number, ohm, ohmWithDoubt } from '../view/format.ts'
import { type Html, html, nothing } from '../view/html.ts'
import { paths } from '../view/paths.ts'
import {
  CONFORMITY_WORDS,
  FINDING_TITLES,
  KIND_WORDS,
  LINK_WORDS,
  MEASURED_AS_WORDS,
  METHOD_WORDS,
  OUTCOME_WORDS,
  plainWord,
  SEVERITY_WORDS,
  VALIDITY_WORDS,
} from '../view/words.ts'
import { soilWords } from './judgement.ts'
import { readingsTable } from './survey-fields.ts'

export interface RecordPageParts {
  operatorName: string
  /** Null for the soil of a site and the check of an instrument. */
  electrode: Electrode | null
  record: SurveyRecord
  findings: readonly Finding[]
  calibration: Calibration | undefined
  printedAt: string
}

/** The test record: one survey on one sheet, to be printed, signed and kept. Meaning is in words, never in colour. */
export function recordPage(parts: RecordPageParts): Html {
  const { electrode, record } = parts
  const { survey: s, judged: j, subject } = record
  const curve =
    s.currentProbeM === undefined || s.method === 'four-point'
      ? null
      : curvePlot({
          id: 'curve',
          readings: s.readings,
          currentProbeM: s.currentProbeM,
          leadAngleDeg: s.leadAngleDeg,
          resistanceOhm: j.resistanceOhm,
          expandedUncertaintyOhm: j.expandedUncertaintyOhm,
        })
  return html`<p class="crumbs screen"><a href="${paths.subjectSurvey(subject, s.surveyRef)}">Survey ${s.surveyRef}</a> · print this page on A4 or Letter</p>
<article class="record">
<header><h1>${TITLES[subject.kind]}</h1><p>${parts.operatorName} · survey <strong>${s.surveyRef}</strong></p></header>
<div class="record-columns">
${
  electrode === null
    ? facts(subject.kind === 'site' ? 'Site' : 'Instrument', [['Id', subject.id]])
    : facts('Electrode', [
        ['Electrode', electrode.electrodeId + (electrode.tag ? `, tag ${electrode.tag}` : '')],
        ['Site', electrode.siteId],
        ['Kind', KIND_WORDS[electrode.kind]],
        ['Place', electrode.locationText],
        ['Connected while measuring', MEASURED_AS_WORDS[s.measuredAs]],
      ])
}
${facts('Test', [
  ['Tested', instant(s.testedAt)],
  ['Method', s.outcome === 'tested' ? METHOD_WORDS[s.method] : OUTCOME_WORDS[s.outcome]],
  ['Why', s.purpose && plainWord(s.purpose)],
  ['Current probe', s.currentProbeM === undefined ? undefined : `${number(s.currentProbeM)} m`],
  ['Line', s.lineDirection],
  ['Angle between the leads', s.leadAngleDeg === undefined ? undefined : `${number(s.leadAngleDeg)}°`],
  ['From', s.fromPoint],
  ['To', s.toPoint],
  ['Known resistor', s.knownOhm === undefined ? undefined : ohm(s.knownOhm)],
  ['Leads', leadWords(s)],
  ['Soil', s.soilState],
  ['Rain, 48 h', s.rainLast48h],
])}
${facts('People and instrument', [
  ['Tester', s.tester],
  ['Second person', s.secondPerson],
  ['Witness', s.witness],
  ['Permit', s.permitRef],
  ['Instrument', s.instrumentId],
  ['Calibrated', calibrationWords(parts.calibration)],
])}
${
  electrode === null
    ? nothing
    : facts('Put back', [
        ['Link opened', s.linkOpenedAt && instant(s.linkOpenedAt)],
        ['Link closed', s.linkClosedAt && instant(s.linkClosedAt)],
        ['Checked', s.linkChecked ? LINK_WORDS[s.linkChecked] : 'not recorded'],
        ['By', s.restoredBy],
      ])
}</div>
<section class="record-result"><h2>Result</h2>
${s.method === 'four-point' ? soilResult(record.judged) : resistanceResult(parts)}</section>
<div class="record-readings"><section><h2>Readings</h2>${readingsTable(s)}</section>${curve === null ? nothing : html`<figure>${curve}</figure>`}</div>
${findingList(parts.findings, s.method === 'four-point' ? [] : j.reasons)}
${j.cautions.length === 0 ? nothing : html`<section class="caution"><h2>Cautions</h2><ul>${j.cautions.map((c) => html`<li>${c}</li>`)}</ul></section>`}
${s.notes ? html`<p><strong>Notes:</strong> ${s.notes}</p>` : nothing}
<footer class="record-foot"><p>The operator’s rules and local law come first. A low resistance is no proof of safe step and touch voltages; a steady one does not show that the conductors are whole.</p>
<p>Digest of the data (SHA-256): <code>${record.contentHash}</code>. Judge version ${j.judgeVersion}. Recompute: <code>npx stakeline check --register electrodes.csv --instruments instruments.csv --limits limits.csv --works works.csv --surveys surveys.csv</code> with the exports of this service (“The register as CSV” under Electrodes; “Its surveys as CSV” on the electrode’s page). Printed ${instant(parts.printedAt)}.</p>
<p class="sign">Signed: ______________________________ Date: ______________</p></footer>
</article>`
}

const TITLES = {
  electrode: 'Earth electrode test record',
  site: 'Soil resistivity test record',
  instrument: 'Instrument check record',
}

function soilResult(j: SurveyRecord['judged']): Html {
  return html`<p class="big">Soil resistivity ${soilWords(j)}</p>
<p>Mean of the logarithms of what each spacing shows. Validity: <strong>${VALIDITY_WORDS[j.validity]}</strong>.</p>
<ul>${j.reasons.map((reason) => html`<li>${reason}</li>`)}</ul>`
}

function resistanceResult({ electrode, record: { judged: j } }: RecordPageParts): Html {
  const basis = electrode?.limitBasis ? ` (${electrode.limitBasis})` : ''
  const chanceWords =
    j.conformityProbability === null
      ? ''
      : `, chance that it conforms ${chance(j.conformityProbability)} (JCGM 106)`
  return html`<p class="big">${ohmWithDoubt(j.resistanceOhm, j.expandedUncertaintyOhm)}</p>
<p>Expanded uncertainty, k = 2 (JCGM 100)${j.resultBy === null ? '' : `; by ${plainWord(j.resultBy)}`}. Validity: <strong>${VALIDITY_WORDS[j.validity]}</strong>.</p>
<p>${j.limitOhm === null ? 'No limit is set for this quantity.' : html`Limit ${ohm(j.limitOhm)}${basis}: <strong>${CONFORMITY_WORDS[j.conformity]}</strong>, rule “${plainWord(j.conformityRule)}”${chanceWords}.`}</p>`
}

/** How the leads were, and what of them was taken off the reading. */
function leadWords(s: Survey): string | undefined {
  const words = [
    s.connection && plainWord(s.connection),
    s.leads && plainWord(s.leads),
    s.leadResistanceOhm !== undefined &&
      `${ohm(s.leadResistanceOhm)}${s.method === 'two-point' ? ', taken off' : ''}`,
    s.earthLeadOhm !== undefined && `earth lead ${ohm(s.earthLeadOhm)}`,
  ].filter(Boolean)
  return words.length === 0 ? undefined : words.join(', ')
}

function facts(title: string, rows: [string, string | undefined][]): Html {
  const given = rows.filter(([, value]) => value !== undefined && value !== '')
  return html`<section><h2>${title}</h2><dl class="facts">${given.map(([term, value]) => html`<dt>${term}</dt><dd>${value}</dd>`)}</dl></section>`
}

function calibrationWords(k: Calibration | undefined): string {
  if (!k) return 'not in the register'
  const due = k.calibrationDueOn ? `, due ${day(k.calibrationDueOn)}` : ''
  return `${day(k.calibratedOn)}${due}${k.certificate ? `, certificate ${k.certificate}` : ''}`
}

function findingList(findings: readonly Finding[], reasons: readonly string[]): Html {
  if (findings.length === 0 && reasons.length === 0) return html`<p>Nothing found that needs an action.</p>`
  return html`<section><h2>What was found</h2><ul>${findings.map((f) => html`<li><strong>${SEVERITY_WORDS[f.severity]}: ${FINDING_TITLES[f.code]}.</strong> ${f.message}</li>`)}${findings.length > 0 ? nothing : reasons.map((r) => html`<li>${r}</li>`)}</ul></section>`
}
