import type { Finding } from '../../../../shared-lib/survey/finding.ts'
import { chance } from '../view/format.ts'
import { type Html, html, nothing } from '../view/html.ts'
import { severityBadge } from '../view/severity.ts'
import { FINDING_TITLES } from '../view/words.ts'
import { alternativesList, evidenceDetails } from './evidence.ts'

/** How sure the tool is, said as what it is: an estimate. */
function sureness(probability: number | null): string {
  return probability === null
    ? ''
    : `Chance that it is true: ${chance(probability)}, an estimate not yet checked here.`
}

export interface FindingCardParts {
  finding: Finding
  /** For links to earlier tests. */
  electrodeId: string | null
  level?: 2 | 3
  /** Address of the finding's own page, when it is in the queue. */
  href?: string
  /** The message and the advice stand over the page already: only the numbers are left to show. */
  toldAbove?: boolean
}

/** One finding beside its survey: what is seen, what to do, in which order, and the numbers behind it. */
export function findingCard({ finding, electrodeId, level = 3, href, toldAbove }: FindingCardParts): Html {
  const title = FINDING_TITLES[finding.code]
  const heading = html`${severityBadge(finding.severity)} ${href === undefined ? title : html`<a href="${href}">${title}</a>`}`
  const numbers = evidenceDetails(finding.evidence, electrodeId)
  return html`<article class="finding ${finding.severity}">
${level === 2 ? html`<h2>${heading}</h2>` : html`<h3>${heading}</h3>`}
${toldAbove ? nothing : html`<p>${finding.message}</p>`}
${toldAbove || finding.advice.length === 0 ? nothing : html`<ol>${finding.advice.map((a) => html`<li>${a}</li>`)}</ol>`}
${finding.probability === null ? nothing : html`<p class="meta">${sureness(finding.probability)}</p>`}
${numbers === null ? nothing : html`<details><summary>The numbers behind it</summary>${numbers}${alternativesList(finding.evidence)}</details>`}
</article>`
}
