import type { FindingItem } from '../../../../shared-lib/ledger/kept/finding.ts'
import { versionOf } from '../../finding-version.ts'
import { age, chance, day, instant } from '../view/format.ts'
import { type Html, html, nothing } from '../view/html.ts'
import { paths } from '../view/paths.ts'
import { severityBadge } from '../view/severity.ts'
import { FINDING_TITLES } from '../view/words.ts'
import { decideForm } from './decide-form.ts'
import { expectedWords } from './evidence.ts'

export interface QueueCardParts {
  finding: FindingItem
  nowMs: number
  mayDecide: boolean
  level: 2 | 3
  /** Where a decision leads back to. */
  back?: string
}

/** A finding in the queue: the reason first, then what is seen, whose it is, how old, and the decision. */
export function queueCard({ finding: f, nowMs, mayDecide, level, back }: QueueCardParts): Html {
  const heading = html`${severityBadge(f.severity)} <a href="${paths.finding(f.id)}">${FINDING_TITLES[f.code]}</a>`
  const expected = expectedWords(f.evidence)
  return html`<article class="finding ${f.severity}" id="f-${f.id}">
${level === 2 ? html`<h2>${heading}</h2>` : html`<h3>${heading}</h3>`}
<p>${f.message}</p>
<p class="meta"><a href="${paths.electrode(f.electrodeId)}">Electrode ${f.electrodeId}</a> at <a href="${paths.site(f.siteId)}">${f.siteId}</a>, <a href="${paths.survey(f.electrodeId, f.surveyRef)}">survey ${f.surveyRef}</a> of ${day(f.testedAt)}. Opened <time datetime="${f.openedAt}" title="${instant(f.openedAt)}">${age(f.openedAt, nowMs)}</time>.${expected === null ? '' : ` ${expected}.`}${f.probability === null ? '' : ` Chance that it is true: ${chance(f.probability)} (an estimate).`}</p>
${mayDecide && f.state === 'open' ? decideForm({ findingId: f.id, key: f.id, seen: versionOf(f), back: back ?? paths.electrode(f.electrodeId) }) : nothing}
</article>`
}
