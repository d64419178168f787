import type { FindingItem } from '../../../../shared-lib/ledger/kept/finding.ts'
import { SEVERITIES } from '../../../../shared-lib/survey/finding.ts'
import { age, day, plural } from '../view/format.ts'
import { type Html, html, nothing } from '../view/html.ts'
import { paths, withQuery } from '../view/paths.ts'
import { severityBadge } from '../view/severity.ts'
import { FINDING_TITLES } from '../view/words.ts'
import { GROUPS, type QueueQuery } from './queue-filters.ts'

type GroupName = (typeof GROUPS)[number]['value']

/** The plain fact that a finding is put under; groups are a view and are never stored. */
const FACT: Record<GroupName, (f: FindingItem) => string | undefined> = {
  kind: (f) => f.code,
  site: (f) => f.siteId,
  instrument: (f) => f.instrumentId,
  crew: (f) => f.tester,
  day: (f) => f.testedAt.slice(0, 10),
}

export interface GroupViewParts {
  items: readonly FindingItem[]
  /** There are more than were counted here. */
  more: boolean
  by: GroupName
  query: QueueQuery
  nowMs: number
}

export const groupName = (text: string | undefined): GroupName | undefined =>
  GROUPS.find((g) => g.value === text)?.value

/** The queue by one plain fact: one instrument gone off is one line, not ninety. Each line leads to its findings. */
export function groupView({ items, more, by, query, nowMs }: GroupViewParts): Html {
  const label = GROUPS.find((g) => g.value === by)!.label
  const groups = [...Map.groupBy(items, FACT[by])].sort((a, b) => b[1].length - a[1].length)
  const { group: _, cursor: __, ...shared } = query
  if (items.length === 0) return html`<p class="empty">No finding matches.</p>`
  return html`<p>${more ? `The first ${items.length} findings, worst first; there are more.` : `${plural(items.length, 'finding')}.`}</p>
<div class="scroll" role="region" aria-label="By ${label}" tabindex="0"><table><caption class="unseen">Findings by ${label}</caption>
<thead><tr><th scope="col">${label.charAt(0).toUpperCase() + label.slice(1)}</th><th scope="col" class="num">Findings</th><th scope="col" class="num">Electrodes</th><th scope="col">Worst</th><th scope="col">Oldest</th><th scope="col">What is seen</th></tr></thead>
<tbody>${groups.map(([fact, own]) => groupRow(by, fact, own, shared, nowMs))}</tbody></table></div>`
}

function groupRow(
  by: GroupName,
  fact: string | undefined,
  own: FindingItem[],
  shared: QueueQuery,
  nowMs: number,
): Html {
  const name =
    fact === undefined
      ? 'not given'
      : by === 'kind'
        ? FINDING_TITLES[own[0]!.code]
        : by === 'day'
          ? day(fact)
          : fact
  const worst = own.reduce((a, b) =>
    SEVERITIES.indexOf(b.severity) > SEVERITIES.indexOf(a.severity) ? b : a,
  ).severity
  const oldest = own.reduce((a, b) => (b.openedAt < a.openedAt ? b : a)).openedAt
  const codes = [...Map.groupBy(own, (f) => f.code)].sort((a, b) => b[1].length - a[1].length).slice(0, 3)
  const electrodes = new Set(own.map((f) => f.electrodeId)).size
  return html`<tr><th scope="row">${fact === undefined ? name : html`<a href="${withQuery(paths.findings, { ...shared, [by]: fact })}">${name}</a>`}</th><td class="num">${own.length}</td><td class="num">${electrodes}</td><td>${severityBadge(worst)}</td><td class="nowrap">${age(oldest, nowMs)}</td><td class="wide">${by === 'kind' ? nothing : codes.map(([code, of]) => `${FINDING_TITLES[code]} (${of.length})`).join(', ')}</td></tr>`
}
