import type { Evaluation } from '../../../../shared-lib/evaluate/evaluation.ts'
import type { Finding } from '../../../../shared-lib/survey/finding.ts'
import type { Method } from '../../../../shared-lib/survey/survey.ts'
import { findingCard } from '../findings/finding-card.ts'
import { chance, metres, number, ohm, ohmWithDoubt } from '../view/format.ts'
import { type Html, html, nothing } from '../view/html.ts'
import { conformityBadge, validityBadge } from '../view/severity.ts'
import { FINDING_TITLES, plainWord } from '../view/words.ts'

export interface JudgementParts {
  judged: Evaluation & { method: Method }
  /** The survey's own findings and those against prior tests, in one list. */
  findings: readonly Finding[]
  electrodeId: string | null
  controlRoomPhone?: string | undefined
}

/** Whom to turn to when something cannot wait. */
export interface AlarmParts extends Pick<JudgementParts, 'findings' | 'controlRoomPhone'> {
  /** The responsible engineer as the register names him. */
  responsibleEmail?: string | undefined
}

/** What to do at once, over the whole screen. Nothing when no finding is urgent. */
export function alarm({ findings, controlRoomPhone, responsibleEmail }: AlarmParts): Html {
  const urgent = findings.filter((f) => f.severity === 'urgent')
  if (urgent.length === 0) return nothing
  const dial = controlRoomPhone?.replace(/[^+\d]/g, '')
  return html`<section class="alarm" aria-label="Urgent">
${urgent.map(
  (f) => html`<h2><span aria-hidden="true">▲</span> ${FINDING_TITLES[f.code]}</h2>
<p>${f.message}</p>
<ol>${f.advice.map((a) => html`<li>${a}</li>`)}</ol>`,
)}
${
  controlRoomPhone
    ? html`<p class="phone">Phone now: <a href="tel:${dial}">${controlRoomPhone}</a></p>`
    : html`<p class="phone">Phone the person in control now.</p>`
}
${responsibleEmail ? html`<p>Responsible engineer: <a href="mailto:${responsibleEmail}">${responsibleEmail}</a></p>` : nothing}
<p>The operator’s rules and local law come first. Stay until the person in control takes over.</p>
</section>`
}

/** Validity, value, conformity; then findings, reasons and cautions. The same panel for a check and for a stored survey. */
export function judgement(parts: JudgementParts): Html {
  const { judged, findings } = parts
  const quiet = findings.filter((f) => f.severity !== 'urgent')
  return html`<section class="sheet" aria-labelledby="judgement-heading">
<h2 id="judgement-heading" class="unseen">Judgement</h2>
<div class="result">
<div><h3>This survey</h3><p>${validityBadge(judged.validity)}</p><p class="aside">${judged.method === 'four-point' ? '' : usableWords(judged)}</p></div>
${
  judged.method === 'four-point'
    ? html`<div><h3>Soil resistivity</h3><p><span class="big">${soilWords(judged)}</span></p><p class="aside">Layers: see below.</p></div>`
    : html`<div><h3>Effective resistance</h3><p><span class="big">${ohmWithDoubt(judged.resistanceOhm, judged.expandedUncertaintyOhm)}</span></p><p class="aside">${valueWords(judged)}</p></div>
<div><h3>Against the limit</h3><p>${conformityBadge(judged.conformity)}</p><p class="aside">${limitWords(judged)}</p></div>`
}
</div>
${judged.reasons.length === 0 ? nothing : html`<h3>Why</h3><ul>${judged.reasons.map((r) => html`<li>${r}</li>`)}</ul>`}
</section>
${judged.cautions.length === 0 ? nothing : cautionBox(judged.cautions)}
${findings.filter((f) => f.severity === 'urgent').map((f) => findingCard({ finding: f, electrodeId: parts.electrodeId, toldAbove: true }))}
${quiet.map((f) => findingCard({ finding: f, electrodeId: parts.electrodeId }))}
${findings.length === 0 ? html`<p>Nothing found that needs an action.</p>` : nothing}`
}

/** Cautions that belong to the advice beside them. */
export function cautionBox(
  cautions: readonly string[],
  heading = 'Before anyone goes and does something',
): Html {
  return html`<section class="caution"><h3>${heading}</h3><ul>${cautions.map((c) => html`<li>${c}</li>`)}</ul></section>`
}

/** What a four-point survey found, in one number. */
export function soilWords({ impliedSoilResistivityOhmM: soilOhmM }: Evaluation): string {
  return soilOhmM === null ? 'none' : `${number(soilOhmM, 3)} Ω·m`
}

function usableWords(judged: Evaluation): string {
  if (judged.usableFor.length === 0) return 'Not usable for acceptance or trend.'
  const uses = judged.usableFor.map((u) => (u === 'trend' ? 'trend' : 'acceptance'))
  return `Good for ${uses.join(' and ')}.`
}

function valueWords(judged: Evaluation): Html | string {
  if (judged.resistanceOhm === null) return 'No value can be given.'
  const parts = [
    `Coverage factor k = 2${judged.resultBy ? `, by ${plainWord(judged.resultBy)}` : ''}.`,
    judged.meanOhm === null ? '' : `Plain mean ${ohm(judged.meanOhm)}.`,
    judged.fitOhm === null ? '' : `Fitted ${ohm(judged.fitOhm)}.`,
    judged.spreadPercent === null ? '' : `Spread ${number(judged.spreadPercent, 2)} %.`,
    judged.impliedSoilResistivityOhmM === null
      ? ''
      : `Soil it implies: ${number(judged.impliedSoilResistivityOhmM, 3)} Ω·m.`,
  ]
  return parts.filter(Boolean).join(' ')
}

function limitWords(judged: Evaluation): string {
  if (judged.limitOhm === null) return 'No limit is set for this quantity.'
  const rule = `Limit ${ohm(judged.limitOhm)}, rule “${plainWord(judged.conformityRule)}”.`
  const sure =
    judged.conformityProbability === null
      ? ''
      : ` Chance that it conforms: ${chance(judged.conformityProbability)}.`
  const near = judged.conformity === 'inconclusive' ? ' The limit lies within the doubt of the value.' : ''
  return rule + sure + near
}

/** The uncertainty statement: each contribution, largest first, and how they add up. */
export function uncertaintyTable(judged: Evaluation): Html {
  if (judged.uncertaintyParts.length === 0 || judged.expandedUncertaintyOhm === null) return nothing
  const parts = [...judged.uncertaintyParts].sort((a, b) => b.standardOhm - a.standardOhm)
  return html`<h2>Where the uncertainty comes from</h2>
<div class="scroll" role="region" aria-label="Uncertainty contributions" tabindex="0"><table class="snug"><caption>Standard uncertainties (JCGM 100), added as squares</caption>
<thead><tr><th scope="col">Contribution</th><th scope="col" class="num">Standard uncertainty, Ω</th></tr></thead>
<tbody>${parts.map((p) => html`<tr><th scope="row">${plainWord(p.name)}</th><td class="num">${number(p.standardOhm, 3)}</td></tr>`)}
<tr><th scope="row">Together, times k = 2</th><td class="num"><strong>${number(judged.expandedUncertaintyOhm, 3)}</strong></td></tr></tbody></table></div>`
}

/** The distance that would do, when the one used is short of it. */
export function probeAdvice(judged: Evaluation, usedM: number | undefined): Html {
  const wanted = judged.recommendedCurrentProbeM
  if (wanted === null || usedM === undefined || usedM >= wanted) return nothing
  return html`<p>The current probe stood at ${metres(usedM)}; ${metres(wanted)} would do for this electrode.</p>`
}
