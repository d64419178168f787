import type { Decision } from '../../../../shared-lib/history/assessment.ts'
import type { SurveyRecord } from '../../../../shared-lib/ledger/kept/survey.ts'
import type { Finding } from '../../../../shared-lib/survey/finding.ts'
import { curvePlot } from '../charts/curve-plot.ts'
import { decisionWords } from '../findings/what-happened.ts'
import { instant } from '../view/format.ts'
import { type Html, html, nothing } from '../view/html.ts'
import { paths, withQuery } from '../view/paths.ts'
import { FINDING_TITLES, METHOD_WORDS } from '../view/words.ts'
import { howFound } from './how-found.ts'
import { alarm, judgement, probeAdvice, uncertaintyTable } from './judgement.ts'
import { readingsTable, surveyFields } from './survey-fields.ts'

export interface SurveyPageParts {
  record: SurveyRecord
  /** Own findings and those against prior tests. */
  findings: readonly Finding[]
  /** Comparing with earlier tests is still to come. */
  comparing: boolean
  received?: 'new' | 'before' | undefined
  /** A later survey that says it replaces this one. */
  correctedBy?: string | undefined
  controlRoomPhone?: string | undefined
  mayCorrect: boolean
  /** What was decided about its findings: the crew reads the reason too. */
  decisions?: readonly Decision[]
  nowMs: number
}

const VIA = { form: 'by form', api: 'by a program', upload: 'in an uploaded file' }

/** One survey: first what was found, then the picture, the readings and every field as it was understood. */
export function surveyPage(parts: SurveyPageParts): Html {
  const { record, findings } = parts
  const { survey, judged, subject } = record
  const electrodeId = subject.kind === 'electrode' ? subject.id : null
  const curve =
    survey.currentProbeM === undefined || survey.method === 'four-point'
      ? null
      : curvePlot({
          id: 'curve',
          readings: survey.readings,
          currentProbeM: survey.currentProbeM,
          leadAngleDeg: survey.leadAngleDeg,
          resistanceOhm: judged.resistanceOhm,
          expandedUncertaintyOhm: judged.expandedUncertaintyOhm,
        })
  return html`${alarm({ findings, controlRoomPhone: parts.controlRoomPhone })}
${receipt(parts)}
<p class="crumbs">${subjectLink(record)}</p>
<h1>Survey ${survey.surveyRef}</h1>
<p>${METHOD_WORDS[survey.method]}, tested ${instant(survey.testedAt)}.</p>
${parts.correctedBy && electrodeId ? html`<p class="said">Corrected by <a href="${paths.survey(electrodeId, parts.correctedBy)}">survey ${parts.correctedBy}</a>. This one is kept as it was.</p>` : nothing}
${judgement({ judged, findings, electrodeId, controlRoomPhone: parts.controlRoomPhone })}
${howFound(judged)}
${decisionList(parts)}
${parts.comparing ? html`<p class="aside screen">The comparison with earlier tests follows within seconds; load the page again to see it.</p>` : nothing}
${probeAdvice(judged, survey.currentProbeM)}
${curve === null ? nothing : html`<h2>Along the line</h2><figure>${curve}<figcaption>Dots: readings. Band: the result with its uncertainty. Line through the dots with its band: uniform soil fitted to them. Shaded column: 52 to 72 % of the way.</figcaption></figure>`}
<h2>Readings</h2>
${readingsTable(survey)}
${uncertaintyTable(judged)}
<h2>What was handed in</h2>
${surveyFields(survey)}
<p class="aside">Received ${instant(record.receivedAt)} ${VIA[record.receivedFrom.via]}. Judge version ${judged.judgeVersion}. Record ${record.id}.</p>
<p class="actions screen">${
    parts.mayCorrect && electrodeId
      ? html`<a class="button" href="${withQuery('/surveys/new', { electrode: electrodeId, corrects: survey.surveyRef })}">Correct this survey</a> <a class="button" href="${paths.newSurvey(electrodeId)}">Hand in another of this electrode</a> `
      : nothing
  }<a class="button" href="${paths.record(subject, survey.surveyRef)}">Test record to print</a></p>`
}

function decisionList({ decisions = [], nowMs }: SurveyPageParts): Html {
  if (decisions.length === 0) return nothing
  return html`<h2>Decided about it</h2><ul>${decisions.map((d) => html`<li>${FINDING_TITLES[d.code]}: ${decisionWords(d, nowMs)}</li>`)}</ul>`
}

function receipt({ received, record }: SurveyPageParts): Html {
  if (received === undefined) return nothing
  const words =
    received === 'new'
      ? html`<strong>Received.</strong> Survey ${record.survey.surveyRef} is stored; handing it in again changes nothing.`
      : html`<strong>Already received</strong> on ${instant(record.receivedAt)}. Nothing was stored twice.`
  return html`<div class="said" role="status"><p>${words}</p></div>`
}

function subjectLink({ subject, siteId }: SurveyRecord): Html {
  const site = siteId === null ? nothing : html` at <a href="${paths.site(siteId)}">site ${siteId}</a>`
  if (subject.kind === 'electrode')
    return html`<a href="${paths.electrode(subject.id)}">Electrode ${subject.id}</a>${site}`
  return subject.kind === 'site'
    ? html`<a href="${paths.site(subject.id)}">Site ${subject.id}</a>`
    : html`<a href="${paths.instrument(subject.id)}">Instrument ${subject.id}</a>`
}
