import { type FindingEvidence, readEvidence } from '../../../../shared-lib/history/evidence.ts'
import type { FindingItem } from '../../../../shared-lib/ledger/kept/finding.ts'
import { expectedPlot } from '../charts/expected-plot.ts'
import { chance, day, number, ohm } from '../view/format.ts'
import { type Html, html, nothing } from '../view/html.ts'
import { paths } from '../view/paths.ts'

/** Why, in one look: what was expected and what was read; where there is no such comparison, the history with this test ringed. */
export function whyPicture(finding: FindingItem, historyPlot: Html | null): Html {
  const e = readEvidence(finding.evidence)
  const plot = expectedPlot({
    id: 'why',
    points: e.points ?? [],
    hereRef: finding.surveyRef,
    limitOhm: e.limitOhm,
    line: e.line,
    crossesBetween: e.crossesBetween,
  })
  const forecast = e.crossesOn
    ? html`<p><strong>The line meets the limit about ${day(e.crossesOn)}</strong>${e.crossesBetween ? html`, in nine cases of ten between ${day(e.crossesBetween[0])} and ${e.crossesBetween[1] === null ? 'a day that may never come' : day(e.crossesBetween[1])}` : nothing}.</p>`
    : nothing
  return html`${
    plot === null
      ? historyPlot === null
        ? nothing
        : html`<h2>Among the other tests</h2><figure>${historyPlot}</figure>`
      : html`<h2>What was expected</h2><figure>${plot}<figcaption>Bars: what was expected before each test was read (95 %), from the earlier tests, the season and the neighbours. Dots: what was read; hollow: not counted. Ringed: this test. The scale is logarithmic.</figcaption></figure>`
  }${forecast}`
}

/** Why, in numbers: the tests behind the picture, the statistics an auditor knows, the site and the instrument where they matter. */
export function whyNumbers(finding: FindingItem): Html {
  const e = readEvidence(finding.evidence)
  return html`${e.points ? pointsTable(e.points, finding.electrodeId) : nothing}
${e.trend ? trendTable(e.trend) : nothing}
${e.site ? siteTable(e.site) : nothing}
${e.instrument ? instrumentTable(e.instrument) : nothing}`
}

/** Parts of the evidence that the section above shows in its own way. */
export const SHOWN_ABOVE: readonly string[] = [
  ...['alternatives', 'points', 'trend', 'line', 'site', 'instrument', 'crossesOn', 'crossesBetween'],
  'parametersVersion',
]

function pointsTable(points: NonNullable<FindingEvidence['points']>, electrodeId: string): Html {
  return html`<details><summary>The ${points.length} tests behind the picture</summary><div class="scroll" role="region" aria-label="Tests behind the picture" tabindex="0"><table class="snug"><caption class="unseen">Tests behind the picture</caption>
<thead><tr><th scope="col">Tested</th><th scope="col" class="num">Read</th><th scope="col" class="num">Expected before it</th><th scope="col">Counts</th></tr></thead>
<tbody>${points.map(
    (p) =>
      html`<tr><th scope="row"><a href="${paths.survey(electrodeId, p.surveyRef)}">${day(p.testedAt)}</a></th><td class="num">${ohm(p.resistanceOhm)}</td><td class="num">${p.expectedOhm === undefined ? 'none yet' : ohm(p.expectedOhm)}${p.lowOhm === undefined || p.highOhm === undefined ? '' : ` (${number(p.lowOhm, 3)} to ${number(p.highOhm, 3)})`}</td><td>${p.used ? 'yes' : 'no'}</td></tr>`,
  )}</tbody></table></div></details>`
}

function trendTable(t: NonNullable<FindingEvidence['trend']>): Html {
  const interval =
    t.slopeLowPercentPerYear === null || t.slopeHighPercentPerYear === null
      ? 'too few tests'
      : `${number(t.slopeLowPercentPerYear, 3)} to ${number(t.slopeHighPercentPerYear, 3)}`
  return html`<h2>The trend, as auditors know it</h2><dl class="facts"><dt>Tests of this baseline</dt><dd>${t.n}</dd>
<dt>Mann-Kendall S</dt><dd>${number(t.kendallS)}</dd><dt>p, two-sided</dt><dd>${t.pValue < 0.001 ? 'under 0.001' : number(t.pValue, 2)}</dd>
<dt>Sen’s slope, % a year</dt><dd>${number(t.slopePercentPerYear, 3)}</dd><dt>Its 95 % interval</dt><dd>${interval}</dd></dl>
<p class="aside">Of the logarithm of the resistance; ties and continuity corrected. It looks at the order of the values only, and knows nothing of season and neighbours: the finding rests on the model, this stands beside it.</p>`
}

function siteTable(s: NonNullable<FindingEvidence['site']>): Html {
  return html`<h2>The site as a whole</h2><p>${s.rising.length} of ${s.electrodes} electrodes have risen with it since ${day(s.since)}, by ${number(s.risePercent, 3)} %: ${s.rising.map((id, i) => html`${i === 0 ? '' : ', '}<a href="${paths.electrode(id)}">${id}</a>`)}.</p>
<div class="scroll" role="region" aria-label="Visits" tabindex="0"><table class="snug"><caption>How far the site stood above its season</caption><thead><tr><th scope="col">Visit</th><th scope="col" class="num">Above the season, %</th><th scope="col" class="num">Of that drift, %</th></tr></thead><tbody>${s.visits.map((v) => html`<tr><th scope="row">${day(v.on)}</th><td class="num">${number(v.offSeasonPercent, 3)}</td><td class="num">${number(v.driftPercent, 3)}</td></tr>`)}</tbody></table></div>`
}

function instrumentTable(i: NonNullable<FindingEvidence['instrument']>): Html {
  return html`<h2>The instrument</h2><p>Instrument <a href="${paths.instrument(i.instrumentId)}">${i.instrumentId}</a> seems to read ${number(Math.abs(i.biasPercent), 3)} % too ${i.biasPercent < 0 ? 'low' : 'high'}${i.calibratedOn === null ? '' : ` since its calibration of ${day(i.calibratedOn)}`}. Check it on a known resistor before the next test.</p>
<div class="scroll" role="region" aria-label="What it read beyond expectation" tabindex="0"><table class="snug"><caption>What it read beyond what season and the other instruments led to expect</caption><thead><tr><th scope="col">Day</th><th scope="col">Where</th><th scope="col" class="num">Beyond, %</th><th scope="col" class="num">Doubt, %</th></tr></thead><tbody>${i.visits.map((v) => html`<tr><th scope="row">${day(v.on)}</th><td>${v.check ? 'known resistor' : (v.siteId ?? '')}</td><td class="num">${number(v.residualPercent, 3)}</td><td class="num">${number(v.doubtPercent, 2)}</td></tr>`)}</tbody></table></div>`
}

/**
 * What it could be, each with a bar as long as its chance. The finding itself comes first where the others leave room for it; where
 * they add up to certainty already, it is spelled out among them.
 */
export function explanations(title: string, probability: number | null, e: FindingEvidence): Html {
  const others = e.alternatives ?? []
  if (others.length === 0) return nothing
  const sum = others.reduce((total, o) => total + (o.probability ?? 0), 0)
  const all = [
    ...(probability === null || sum + probability > 1.05 ? [] : [{ explanation: title, probability }]),
    ...others.map(({ explanation, probability: p }) => ({ explanation, probability: p })),
  ]
  return html`<h2>What it could be</h2><table class="snug chances"><caption class="unseen">Explanations and their chances</caption><thead><tr><th scope="col">Explanation</th><th scope="col" class="num">Chance</th><td></td></tr></thead><tbody>${all.map(
    (a) =>
      html`<tr><th scope="row">${a.explanation.charAt(0).toUpperCase() + a.explanation.slice(1)}</th><td class="num">${a.probability === null ? 'not claimed' : chance(a.probability)}</td><td>${a.probability === null ? nothing : html`<meter min="0" max="1" value="${a.probability}" aria-label="${a.explanation}"></meter>`}</td></tr>`,
  )}</tbody></table>`
}
