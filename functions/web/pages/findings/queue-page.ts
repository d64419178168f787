import type { FindingItem } from '../../../../shared-lib/ledger/kept/finding.ts'
import type { Page } from '../../../../shared-lib/ledger/kept/page.ts'
import { errorSummary, type FormProblem } from '../view/error-summary.ts'
import { type Html, html, nothing } from '../view/html.ts'
import { pager } from '../view/paging.ts'
import { paths, withQuery } from '../view/paths.ts'
import { type BulkBarParts, bulkBar, keyHelp } from './bulk-bar.ts'
import { decidedNotice, decisionMeanings, type SaidParts } from './decide-form.ts'
import { type DecidedResultParts, decidedResult } from './decided-result.ts'
import { type GroupViewParts, groupView } from './group-view.ts'
import { isNarrowed, type QueueQuery, queueFilters } from './queue-filters.ts'
import { queueRows } from './queue-rows.ts'
import { queueTable } from './queue-table.ts'

export interface QueuePageParts {
  page: Page<FindingItem>
  query: QueueQuery
  nowMs: number
  mayDecide: boolean
  /** The queue by one fact instead of one by one. */
  groups?: GroupViewParts
  /** After one decision, led back here. */
  decided?: Omit<SaidParts, 'back'> | undefined
  /** After a decision about several. */
  result?: Omit<DecidedResultParts, 'back' | 'nowMs'> | undefined
  bar?: BulkBarParts
  problems?: readonly FormProblem[]
}

/** The review queue, as the store pages it. Nothing leaves it by growing old. */
export function queuePage(parts: QueuePageParts): Html {
  const { page, query, nowMs, mayDecide, decided, result } = parts
  const here = withQuery(paths.findings, { ...query })
  return html`${errorSummary(parts.problems ?? [])}
${decided === undefined ? nothing : decidedNotice({ ...decided, back: here })}
${result === undefined ? nothing : decidedResult({ ...result, back: here, nowMs })}
<h1>Findings</h1>
${queueFilters(query)}
${parts.groups ? groupView(parts.groups) : list(parts, here)}`

  function list({ bar = {}, problems }: QueuePageParts, back: string): Html {
    if (page.items.length === 0)
      return html`<p class="empty">${emptyWords(query, page.next !== null)}</p>${pager(paths.findings, { ...query }, page.next)}`
    const table = queueTable({ rows: queueRows(page.items), nowMs, mayDecide })
    if (!mayDecide) return html`${table}${pager(paths.findings, { ...query }, page.next)}`
    return html`${decisionMeanings()}
<form method="post" action="${paths.decideMany}" data-queue><input type="hidden" name="back" value="${back}">
${table}
${bulkBar({ ...bar, ...(problems ? { problems } : {}) })}
<p class="unseen" role="status" data-said></p></form>
${keyHelp()}
${pager(paths.findings, { ...query }, page.next)}`
  }
}

function emptyWords(query: QueueQuery, more: boolean): string {
  if (more)
    return 'Nothing in the part of the queue that was looked through; the list goes on with the next page.'
  const state = query.state === 'closed' ? 'closed ' : query.state === 'all' ? '' : 'open '
  return `No ${state}finding${isNarrowed(query) ? ' matches' : ''}.`
}
