import type { FindingItem, Page } from '../../../../shared-lib/ledger/ledger.ts'
import { selectControl, textControl } from '../view/controls.ts'
import { type Html, html, nothing } from '../view/html.ts'
import { pager } from '../view/paging.ts'
import { paths, withQuery } from '../view/paths.ts'
import { decidedNotice, decisionMeanings, type SaidParts } from './decide-form.ts'
import { queueCard } from './queue-card.ts'

export interface FindingListParts {
  page: Page<FindingItem>
  query: { site?: string; electrode?: string; state?: string; cursor?: string }
  nowMs: number
  mayDecide: boolean
  decided?: Omit<SaidParts, 'back'> | undefined
}

const STATES = [
  { value: 'open', label: 'Open' },
  { value: 'closed', label: 'Closed' },
  { value: 'all', label: 'All' },
]

/** The review queue, as the store pages it. Nothing leaves it by growing old. */
export function findingList({ page, query, nowMs, mayDecide, decided }: FindingListParts): Html {
  const here = withQuery(paths.findings, query)
  const filtered = Boolean(query.site || query.electrode || (query.state && query.state !== 'open'))
  return html`${decided === undefined ? nothing : decidedNotice({ ...decided, back: here })}
<h1>Findings</h1>
<form class="find" method="get" action="${paths.findings}">
${textControl({ id: 'site', label: 'Site', value: query.site, kind: 'search' })}
${textControl({ id: 'electrode', label: 'Electrode', value: query.electrode, kind: 'search' })}
${selectControl({ id: 'state', label: 'State', value: query.state ?? 'open', choices: STATES })}
<button type="submit">Show</button>${filtered ? html`<a class="button" href="${paths.findings}">Show all open</a>` : nothing}
</form>
${mayDecide ? decisionMeanings() : nothing}
${page.items.length === 0 ? html`<p class="empty">${page.next === null ? `No ${query.state === 'closed' ? 'closed' : query.state === 'all' ? '' : 'open '}finding${filtered ? ' matches' : ''}.` : 'Nothing on this page that you may see; the list goes on with the next page.'}</p>` : nothing}
${page.items.map((f) => queueCard({ finding: f, nowMs, mayDecide, level: 2, back: here }))}
${pager(paths.findings, query, page.next)}`
}
