import type { Hono } from 'hono'
import { DECISION_ACTIONS, type DecisionAction } from '../../../../shared-lib/history/assessment.ts'
import type { FindingItem } from '../../../../shared-lib/ledger/kept/finding.ts'
import { seesSite } from '../../../../shared-lib/ports/identity.ts'
import { barToRead } from '../../access.ts'
import { decideMany, MOST_AT_ONCE } from '../../decide-many.ts'
import type { WebDeps } from '../../deps.ts'
import { answerExport } from '../../exports/answer-export.ts'
import { readFilter } from '../../finding-filter.ts'
import type { WebEnv } from '../../web-env.ts'
import { office } from '../office.ts'
import { type PageCall, queryPart, respond, respondProblem, signedIn } from '../respond.ts'
import { paths } from '../view/paths.ts'
import { DECISION_WORDS, FINDING_TITLES } from '../view/words.ts'
import { groupName } from './group-view.ts'
import type { QueueQuery } from './queue-filters.ts'
import { findingsOf, queueQuery, READ_AT_ONCE } from './queue-findings.ts'
import type { QueuePageParts } from './queue-page.ts'
import { namedFindings } from './queue-rows.ts'
import { wholeReason } from './reasons.ts'

const PAGE_SIZE = 50
/** Findings looked at to count them by a fact: a view of the queue, not of the fleet. */
const MOST_GROUPED = 600

/** The review queue: one by one, by a plain fact, as CSV; and one decision about several. */
export function registerQueue(app: Hono<WebEnv>, deps: WebDeps): void {
  app.get(
    paths.findings,
    signedIn(deps, (call) =>
      showQueue(
        call,
        queueQuery((name) => queryPart(call.c, name)),
        {},
      ),
    ),
  )
  app.get(paths.findingsCsv, signedIn(deps, exportQueue))
  app.post(paths.decideMany, signedIn(deps, decideNamed))
}

const asking = ({ deps, person, frame }: PageCall) => ({ deps, person, nowMs: frame.nowMs })

type Extra = Pick<QueuePageParts, 'result' | 'bar' | 'problems'>

async function showQueue(call: PageCall, query: QueueQuery, extra: Extra): Promise<Response> {
  const { c, deps, person, frame } = call
  if (query.site !== undefined && !seesSite(person, query.site))
    return respondProblem(c, deps, 'site-not-allowed')
  const by = groupName(query.group)
  const page = by
    ? await upTo(call, query, MOST_GROUPED)
    : await findingsOf(asking(call), query, PAGE_SIZE, query.cursor)
  if (!page) return respondProblem(c, deps, 'unknown-cursor')
  const { strange } = readFilter((name) => query[name as keyof QueueQuery])
  const problems = [
    ...(extra.problems ?? []),
    ...strange.map((fieldId) => ({ fieldId, message: STRANGE[fieldId] ?? 'Not understood; left out.' })),
  ]
  const { queuePage } = await office()
  const body = queuePage({
    page,
    query,
    nowMs: frame.nowMs,
    mayDecide: person.role !== 'field',
    ...(by ? { groups: { items: page.items, more: page.next !== null, by, query, nowMs: frame.nowMs } } : {}),
    decided: await justDecided(call),
    ...extra,
    problems,
  })
  const wrong = (extra.problems?.length ?? 0) > 0
  return respond(
    c,
    frame,
    { title: 'Findings', section: paths.findings, body, wrong, scripts: ['queue'] },
    wrong ? 422 : 200,
  )
}

const STRANGE: Record<string, string> = {
  kind: 'There is no finding of this kind; all kinds are shown.',
  day: 'Write the day as 2026-05-04; all days are shown.',
  older: 'Choose an age from the list; all are shown.',
}

/** Up to `most` findings in pieces the store likes. */
async function upTo(call: PageCall, query: QueueQuery, most: number) {
  const items: FindingItem[] = []
  let cursor: string | undefined
  for (;;) {
    const page = await findingsOf(asking(call), query, READ_AT_ONCE, cursor)
    if (!page) return null
    items.push(...page.items)
    if (page.next === null || items.length >= most) return { items, next: page.next }
    cursor = page.next
  }
}

/** The finding that the address says was just decided, for the notice with its undo. */
async function justDecided({ c, deps, person }: PageCall): Promise<QueuePageParts['decided']> {
  const id = queryPart(c, 'decided')
  const action = DECISION_ACTIONS.find((a) => a === queryPart(c, 'action'))
  if (!id || !action) return undefined
  const finding = await deps.ledger.getFinding(id)
  const record = finding && (await deps.ledger.getElectrode(finding.electrodeId))
  if (!finding || !record || barToRead(person, record.electrode)) return undefined
  const { surveyRef, code } = finding
  return { findingId: id, electrodeId: finding.electrodeId, title: FINDING_TITLES[code], surveyRef, action }
}

/** Everything the filter lets through, whatever page was shown. */
async function exportQueue(call: PageCall): Promise<Response> {
  const { c, deps, person } = call
  const query = queueQuery((name) => queryPart(c, name))
  if (query.site !== undefined && !seesSite(person, query.site))
    return respondProblem(c, deps, 'site-not-allowed')
  const { cursor: _, group: __, ...narrowed } = query
  return answerExport(c, deps, person, { kind: 'findings', query: narrowed })
}

/** The queue that a form was sent from. */
function backQuery(back: unknown): QueueQuery {
  const address = typeof back === 'string' && back.startsWith(`${paths.findings}?`) ? back : paths.findings
  const { searchParams } = new URL(address, 'http://here')
  return queueQuery((name) => searchParams.get(name)?.trim() || undefined)
}

/** What was pressed: a button in a row (that row alone), or one of the bar (what is ticked). */
function pressed(data: FormData): { action: DecisionAction | undefined; names: string } {
  const one = String(data.get('one') ?? '')
  const cut = one.indexOf(' ')
  const word = cut < 0 ? String(data.get('action') ?? '') : one.slice(0, cut)
  const names = cut < 0 ? data.getAll('f').join(' ') : one.slice(cut + 1)
  return { action: DECISION_ACTIONS.find((a) => a === word), names }
}

async function decideNamed(call: PageCall): Promise<Response> {
  const { c, deps, person } = call
  if (person.role === 'field') return respondProblem(c, deps, 'role-not-allowed')
  const data = await c.req.formData().catch(() => null)
  const { action, names } = data ? pressed(data) : { action: undefined, names: '' }
  if (!data || !action) return respondProblem(c, deps, 'not-readable', 'Choose one of the decisions.')
  const query = backQuery(data.get('back'))
  const [why, typed] = [String(data.get('why') ?? ''), String(data.get('reason') ?? '')]
  const reason = wholeReason(why, typed).slice(0, 2000)
  const overtake = data.get('overtake') === 'yes'
  const named = namedFindings(names)
  const done = await decideMany(deps, person, named, { action, reason, overtake })
  if (done.kind === 'done') return showQueue(call, query, { result: { action, reason, each: done.each } })
  const bar = { why, reason: typed }
  const verb = DECISION_WORDS[action].button.toLowerCase()
  const message = {
    none: 'Tick at least one finding first.',
    'too-many': `Tick ${MOST_AT_ONCE} findings at most; a row may hold several.`,
    'reason-needed': `Choose or write a reason, to ${verb}: it changes what later tests are compared with, and the crew reads it.`,
  }[done.kind]
  return showQueue(call, query, { bar, problems: [{ fieldId: 'reason', message }] })
}
