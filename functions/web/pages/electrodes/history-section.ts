import type { SeriesSummary } from '../../../../shared-lib/history/assessment.ts'
import { readEvidence } from '../../../../shared-lib/history/evidence.ts'
import { mergeFindings } from '../../../../shared-lib/history/merge-findings.ts'
import type { ElectrodeFile } from '../../../../shared-lib/ledger/kept/electrode.ts'
import type { SurveyRecord } from '../../../../shared-lib/ledger/kept/survey.ts'
import type { Finding, Severity } from '../../../../shared-lib/survey/finding.ts'
import type { MeasuredAs } from '../../../../shared-lib/survey/survey.ts'
import { type HistoryPoint, historyPlot } from '../charts/history-plot.ts'
import { day, number, ohm, ohmWithDoubt, plural } from '../view/format.ts'
import { type Html, html, nothing } from '../view/html.ts'
import { paths } from '../view/paths.ts'
import { conformityBadge, severityBadge, validityBadge } from '../view/severity.ts'
import { FINDING_TITLES, MEASURED_AS_WORDS, METHOD_WORDS, OUTCOME_WORDS, plainWord } from '../view/words.ts'

/** All that is said about one survey: its own judgement's findings and those of the comparison, once each by code. */
export function findingsOf(file: Pick<ElectrodeFile, 'assessment'>, record: SurveyRecord): Finding[] {
  return mergeFindings(record.judged.findings, file.assessment?.findings[record.survey.surveyRef] ?? [])
}

/** Every series of the electrode, newest table row first: each quantity that was connected has its own plot and table. */
export function historySection(file: ElectrodeFile): Html {
  const groups = [...Map.groupBy(file.surveys, (r) => r.survey.measuredAs)].sort(
    (a, b) => b[1].length - a[1].length,
  )
  if (groups.length === 0) return html`<p class="empty">No survey has been handed in for this electrode.</p>`
  return html`${groups.map(([measuredAs, records], i) => seriesSection(file, measuredAs, records, i))}`
}

function seriesSection(
  file: ElectrodeFile,
  measuredAs: MeasuredAs,
  records: SurveyRecord[],
  index: number,
): Html {
  const newestFirst = [...records].sort(
    (a, b) => Date.parse(b.survey.testedAt) - Date.parse(a.survey.testedAt),
  )
  const words = MEASURED_AS_WORDS[measuredAs].toLowerCase()
  const summary = seriesSummary(file, measuredAs)
  const plot = seriesPlot(file, measuredAs, `history-${index}`)
  return html`<section aria-labelledby="series-${index}">
<h2 id="series-${index}">History, ${words}</h2>
${plot === null ? nothing : html`<figure>${plot}<figcaption>Bars: expanded uncertainty (k = 2). Shaded: what was expected before the test was read (95 %), where a finding rests on it. Hollow: not valid. Triangle: a finding. Dashes: the limit in force. Dots: a new baseline. The scale is logarithmic.</figcaption></figure>`}
${summary === undefined ? nothing : trendWords(summary)}
${forecast(file, records)}
${sharedShifts(file, newestFirst)}
<div class="scroll" role="region" aria-label="Surveys, ${words}" tabindex="0"><table><caption>${plural(newestFirst.length, 'survey')}, newest first</caption>
<thead><tr><th scope="col">Tested</th><th scope="col" class="num">Resistance (k = 2)</th><th scope="col">Validity</th><th scope="col">Against the limit</th><th scope="col">Findings</th><th scope="col">Survey</th><th scope="col">Instrument</th><th scope="col">Method</th></tr></thead>
<tbody>${newestFirst.map((r) => surveyRow(file, r))}</tbody></table></div></section>`
}

function seriesSummary(file: ElectrodeFile, measuredAs: MeasuredAs): SeriesSummary | undefined {
  return file.assessment?.series.find((s) => s.measuredAs === measuredAs)
}

/** The plot of one quantity; `hereRef` is ringed, where one test among the others is meant. Null without any number. */
export function seriesPlot(
  file: ElectrodeFile,
  measuredAs: MeasuredAs,
  id: string,
  hereRef?: string,
): Html | null {
  return historyPlot({
    id,
    of: MEASURED_AS_WORDS[measuredAs].toLowerCase(),
    points: file.surveys.filter((r) => r.survey.measuredAs === measuredAs).map((r) => historyPoint(file, r)),
    breaks: breaksOf(file, seriesSummary(file, measuredAs)),
    expected: expectedOf(file, measuredAs),
    hereRef,
  })
}

function surveyRow(file: ElectrodeFile, { survey, judged, subject }: SurveyRecord): Html {
  const found = findingsOf(file, { survey, judged } as SurveyRecord)
  const first = found[0]
  const rest = found.length > 1 ? ` and ${found.length - 1} more` : ''
  return html`<tr><th scope="row" class="nowrap"><a href="${paths.survey(subject.id, survey.surveyRef)}">${day(survey.testedAt)}<span class="unseen">, survey ${survey.surveyRef}</span></a></th>
<td class="num">${ohmWithDoubt(judged.resistanceOhm, judged.expandedUncertaintyOhm)}</td>
<td>${validityBadge(judged.validity)}</td>
<td>${conformityBadge(judged.conformity)}</td>
<td class="wide">${first === undefined ? 'none' : html`${severityBadge(first.severity)} ${FINDING_TITLES[first.code]}${rest}`}</td>
<td>${survey.surveyRef}${survey.corrects ? html` <span class="aside">corrects ${survey.corrects}</span>` : nothing}</td>
<td>${survey.instrumentId === undefined ? '' : html`<a href="${paths.instrument(survey.instrumentId)}">${survey.instrumentId}</a>`}</td>
<td>${survey.outcome === 'tested' ? METHOD_WORDS[survey.method] : OUTCOME_WORDS[survey.outcome]}</td></tr>`
}

function historyPoint(file: ElectrodeFile, record: SurveyRecord): HistoryPoint {
  const { survey, judged } = record
  const gravest: Severity | null = findingsOf(file, record)[0]?.severity ?? null
  return {
    surveyRef: survey.surveyRef,
    testedAtMs: Date.parse(survey.testedAt),
    resistanceOhm: judged.resistanceOhm,
    expandedUncertaintyOhm: judged.expandedUncertaintyOhm,
    readOhm: judged.meanOhm ?? medianReading(record),
    limitOhm: judged.limitOhm,
    severity: gravest,
  }
}

/** What was expected before each test, as far as the newest finding that rests on such a comparison tells. */
function expectedOf(file: ElectrodeFile, measuredAs: MeasuredAs): Map<string, [number, number]> {
  const newestFirst = file.surveys
    .filter((r) => r.survey.measuredAs === measuredAs)
    .sort((a, b) => Date.parse(b.survey.testedAt) - Date.parse(a.survey.testedAt))
  for (const record of newestFirst)
    for (const finding of file.assessment?.findings[record.survey.surveyRef] ?? []) {
      const { points } = readEvidence(finding.evidence)
      if (points && points.length > 0)
        return new Map(
          points.flatMap((p) =>
            p.lowOhm === undefined || p.highOhm === undefined
              ? []
              : [[p.surveyRef, [p.lowOhm, p.highOhm]] as const],
          ),
        )
    }
  return new Map()
}

/** When the limit will be met, where there is a forecast. */
function forecast(file: ElectrodeFile, records: readonly SurveyRecord[]): Html {
  const newest = records
    .flatMap(({ survey }) => file.assessment?.findings[survey.surveyRef] ?? [])
    .findLast((f) => f.code === 'limit-forecast')
  return newest === undefined
    ? nothing
    : html`<p><strong>Heading for the limit.</strong> ${newest.message}</p>`
}

/** Season and weather that the site's electrodes shared, apart from what this electrode did: where a finding tells of it. */
function sharedShifts(file: ElectrodeFile, records: readonly SurveyRecord[]): Html {
  const told = records.flatMap(({ survey }) => {
    const shift = (file.assessment?.findings[survey.surveyRef] ?? [])
      .map((f) => readEvidence(f.evidence).sharedShiftPercent)
      .find((s) => s !== undefined && s !== null)
    return shift === undefined || shift === null ? [] : [{ survey, shift }]
  })
  if (told.length === 0) return nothing
  return html`<details><summary>What season and weather did to the whole site</summary><p>These shifts were shared with the neighbours and are taken out before this electrode is judged.</p><ul>${told.map(({ survey, shift }) => html`<li>${day(survey.testedAt)}: ${shift > 0 ? '+' : ''}${number(shift, 2)} %</li>`)}</ul></details>`
}

function medianReading({ survey }: SurveyRecord): number | null {
  const values = survey.readings.flatMap((r) => r.resistanceOhm ?? []).sort((a, b) => a - b)
  return values[Math.floor(values.length / 2)] ?? null
}

function breaksOf(file: ElectrodeFile, summary: SeriesSummary | undefined): { atMs: number; why: string }[] {
  const works = file.works.map((w) => ({ atMs: Date.parse(w.doneOn), why: plainWord(w.what) }))
  const from = summary?.baselineFromMs
  if (from === null || from === undefined || works.some((w) => Math.abs(w.atMs - from) < 86_400_000 * 2))
    return works
  return [...works, { atMs: from, why: 'new baseline' }]
}

/** The trend in the words and numbers an auditor knows, beside whatever the findings say. */
function trendWords(s: SeriesSummary): Html {
  const since =
    s.baselineFromMs === null ? '' : ` since the baseline of ${day(new Date(s.baselineFromMs).toISOString())}`
  const slope =
    s.slopePercentPerYear === null
      ? 'Too few tests for a trend (four are needed).'
      : `Theil-Sen slope ${number(s.slopePercentPerYear, 3)} % a year${
          s.slopeLowPercentPerYear === null || s.slopeHighPercentPerYear === null
            ? ', too few tests for its interval'
            : `, 95 % interval ${number(s.slopeLowPercentPerYear, 3)} to ${number(s.slopeHighPercentPerYear, 3)} % a year`
        }.`
  const kendall =
    s.kendallS === null || s.pValue === null
      ? ''
      : ` Mann-Kendall S = ${number(s.kendallS)}, p = ${s.pValue < 0.001 ? 'under 0.001' : number(s.pValue, 2)} (two-sided).`
  return html`<p>${plural(s.n, 'value')}${since}, median ${ohm(s.medianOhm)}. ${slope}${kendall}</p>
<p class="aside">A steady resistance does not show that the conductors are whole.</p>`
}
