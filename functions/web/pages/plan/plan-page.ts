import type { LayOut } from '../../../../shared-lib/plan/lay-outs.ts'
import type { SurveyPlan } from '../../../../shared-lib/plan/plan-survey.ts'
import type { Remedy } from '../../../../shared-lib/plan/remedies.ts'
import type { Electrode } from '../../../../shared-lib/survey/register.ts'
import type { ElectrodePlan } from '../../api/plan/plan-electrode.ts'
import { textControl } from '../view/controls.ts'
import { errorSummary, type FormProblem } from '../view/error-summary.ts'
import { chance, day, metres, number, ohm } from '../view/format.ts'
import { type Html, html, nothing } from '../view/html.ts'
import { paths } from '../view/paths.ts'
import { FINDING_TITLES } from '../view/words.ts'
import { stakeSketch } from './stake-sketch.ts'

export interface PlanPageParts {
  electrode: Electrode
  found: ElectrodePlan
  /** As it was typed. */
  room: string | undefined
  problems: readonly FormProblem[]
}

const LAY_OUT_WORDS: Record<LayOut['name'], string> = {
  short: 'Short survey',
  full: 'Full survey',
  'equal-leads': 'Equal leads at an angle',
  'right-angle': 'Right angle',
}

/** Where the stakes go for one electrode, what the room costs, and what would help where it is above its limit. */
export function planPage({ electrode, found, room, problems }: PlanPageParts): Html {
  const { plan } = found
  return html`${errorSummary(problems)}<p class="crumbs"><a href="${paths.electrodes}">Electrodes</a> · <a href="${paths.electrode(electrode.electrodeId)}">Electrode ${electrode.electrodeId}</a></p>
<h1>Plan a survey of ${electrode.electrodeId}</h1>
<form class="find screen" method="get" action="/plan">
<input type="hidden" name="electrode" value="${electrode.electrodeId}">
${textControl({ id: 'room', label: 'Longest straight line there is room for, m', value: room, kind: 'decimal', width: 'short', problems })}
<button type="submit">Plan</button></form>
${causeSection(electrode, found)}
${plan.ok ? planBody(plan, electrode) : html`<p>${plan.problem} The register does not say; an administrator can add it.</p>`}
${soilSection(found)}
${remedySection(found)}`
}

/** What less room costs; nothing where there is room enough. */
function lessRoomWords(plan: SurveyPlan): string {
  if (plan.currentProbeM >= plan.wantedCurrentProbeM) return ''
  const [here, there] = [plan.layOuts[0]?.doubtPercent ?? 0, plan.wantedDoubtPercent].map((d) => number(d, 2))
  const wanted = metres(plan.wantedCurrentProbeM)
  return here === there
    ? ` ${wanted} would be usual; the best lay-out here leaves no more in doubt: ± ${here} %.`
    : ` ${wanted} would be better: the best lay-out here leaves ± ${here} % in doubt, there ± ${there} %.`
}

function planBody(plan: SurveyPlan, electrode: Electrode): Html {
  const drawn =
    plan.layOuts.find((way) => way.name === (plan.advised === 'short' ? 'short' : 'full')) ?? plan.layOuts[0]
  return html`<p><strong>Current probe at ${metres(plan.currentProbeM)}</strong>, ${number(plan.timesSize, 3)} times the electrode’s ${metres(plan.sizeM)}.${lessRoomWords(plan)}</p>
${plan.rightPlacePercent === undefined ? nothing : html`<p>The reading is right at about ${number(plan.rightPlacePercent, 3)} % of the distance.</p>`}
${electrode.hazards ? html`<section class="caution"><h2>Hazards here</h2><p>${electrode.hazards}</p></section>` : nothing}
${drawn === undefined ? nothing : html`<figure>${stakeSketch(drawn, 'sketch')}<figcaption>${LAY_OUT_WORDS[drawn.name]}, seen from above; not to scale with what is really there.</figcaption></figure>`}
<h2>Ways to set the stakes</h2>
<div class="scroll" role="region" aria-label="Ways to set the stakes" tabindex="0"><table><caption>The least doubtful first; doubt (k = 2) by distances and soil alone, the instrument comes on top</caption>
<thead><tr><th scope="col">Way</th><th scope="col" class="num">Doubt</th><th scope="col">Potential probe at</th><th scope="col">What it is</th></tr></thead>
<tbody>${plan.layOuts.map((way) => html`<tr><th scope="row">${LAY_OUT_WORDS[way.name]}</th><td class="num nowrap">± ${number(way.doubtPercent, 2)} %</td><td>${way.stakes.map((s) => metres(s.distanceM)).join(', ')}</td><td>${way.words}</td></tr>`)}</tbody></table></div>
<h2>In this order</h2>
<ol>${plan.advice.map((line) => html`<li>${line}</li>`)}</ol>
<p>Leads to bring: ${plan.leads.currentM} m for the current probe, ${plan.leads.potentialM} m for the potential probe, ${plan.leads.earthM} m to the electrode.</p>
<h2>Second direction</h2><p>${plan.secondDirection.words}</p>
<section class="caution"><h2>Before you begin</h2><ul>${plan.cautions.map((line) => html`<li>${line}</li>`)}</ul></section>
<p class="hint">${plan.basis}</p>`
}

function soilSection({ siteSoil, plan }: ElectrodePlan): Html {
  if (siteSoil === null)
    return html`<h2>Soil</h2><p>No four-point survey of this site is usable, so any soil was allowed for.</p>`
  const layers =
    siteSoil.lowerOhmM === null || siteSoil.depthM === null
      ? `${number(siteSoil.upperOhmM, 3)} Ωm throughout`
      : `${number(siteSoil.upperOhmM, 3)} Ωm over ${number(siteSoil.lowerOhmM, 3)} Ωm, the layer ${metres(siteSoil.depthM)} deep`
  const expected = plan.ok ? plan.expected : undefined
  return html`<h2>Soil</h2><p>${layers}, within about ${number(200 * siteSoil.relativeUncertainty, 2)} % (survey ${siteSoil.surveyRefs.join(', ')}, ${day(siteSoil.testedAt)}). ${siteSoil.why}</p>
${expected === undefined ? nothing : html`<p>In it the electrode should read about ${ohm(expected.resistanceOhm, 3)} (${expected.formula}).</p>`}`
}

function causeSection({ electrodeId }: Electrode, { causesFirst, remedies }: ElectrodePlan): Html {
  if (causesFirst.length === 0) return nothing
  return html`<section class="caution"><h2>Find the cause first</h2>
${causesFirst.map(
  (
    cause,
  ) => html`<p><strong>${FINDING_TITLES[cause.code]}</strong> (<a href="${paths.survey(electrodeId, cause.surveyRef)}">survey ${cause.surveyRef}</a>, ${day(cause.testedAt)}). ${cause.message}</p>
<p>${cause.why}</p>
<ol>${cause.advice.map((line) => html`<li>${line}</li>`)}</ol>
${cause.cautions.map((line) => html`<p class="hint">${line}</p>`)}`,
)}
${remedies.length === 0 ? nothing : html`<p>What may bring it under its limit stands at the end of this page, for when the cause is known and a test has shown that the value is real.</p>`}</section>`
}

function remedySection({ newest, causesFirst, remedies }: ElectrodePlan): Html {
  if (newest === null || remedies.length === 0) return nothing
  return html`<h2>${causesFirst.length === 0 ? 'What may bring it under its limit' : 'Once the cause is known: what may bring it under its limit'}</h2>
<p>The newest result is ${ohm(newest.resistanceOhm)} (${day(newest.testedAt)}) against ${ohm(newest.limitOhm)}. Chances are estimates that nobody has checked here; a licensed person designs the work where local codes ask for one.</p>
<ol>${remedies.map(remedyItem)}</ol>`
}

function remedyItem(remedy: Remedy): Html {
  const after =
    remedy.resistanceOhm === null
      ? ''
      : ` About ${ohm(remedy.resistanceOhm, 3)}${remedy.doubtPercent === null ? '' : ` ± ${number(remedy.doubtPercent, 2)} %`}${remedy.chance === null ? '' : `, chance of passing ${chance(remedy.chance)}`}.`
  return html`<li><strong>${remedy.words}</strong>${after} <span class="hint">By ${remedy.basis}.</span>${remedy.cautions.map((line) => html`<p class="hint">${line}</p>`)}</li>`
}
