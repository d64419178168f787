import type { Hono } from 'hono'
import { CAUTIONS } from '../../../../shared-lib/evaluate/cautions.ts'
import { DECISION_ACTIONS, type DecisionAction } from '../../../../shared-lib/history/assessment.ts'
import type { FindingItem } from '../../../../shared-lib/ledger/ledger.ts'
import { seesSite } from '../../../../shared-lib/ports/identity.ts'
import { barToDecide, barToRead } from '../../access.ts'
import { decideFinding } from '../../decide-finding.ts'
import type { WebDeps } from '../../deps.ts'
import type { WebEnv } from '../../session.ts'
import { visibleFindings } from '../../visible-lists.ts'
import { seriesPlot } from '../electrodes/history-section.ts'
import { type PageCall, pathPart, queryPart, respond, respondProblem, signedIn } from '../respond.ts'
import { html } from '../view/html.ts'
import { paths, withQuery } from '../view/paths.ts'
import { DECISION_WORDS, FINDING_TITLES } from '../view/words.ts'
import { findingList } from './finding-list.ts'
import { findingPage } from './finding-page.ts'

const PAGE_SIZE = 25

/** The review queue, a finding's own page, and decisions as plain forms. */
export function registerFindings(app: Hono<WebEnv>, deps: WebDeps): void {
  app.get(paths.findings, signedIn(deps, list))
  app.get('/findings/:id', signedIn(deps, one))
  app.post('/findings/:id/decisions', signedIn(deps, decide))
}

function decidedAction(call: PageCall): DecisionAction | undefined {
  return DECISION_ACTIONS.find((a) => a === queryPart(call.c, 'action'))
}

async function list(call: PageCall): Promise<Response> {
  const { c, deps, person, frame } = call
  const site = queryPart(c, 'site')
  const electrode = queryPart(c, 'electrode')
  const cursor = queryPart(c, 'cursor')
  const asked = queryPart(c, 'state')
  const state = asked === 'closed' || asked === 'all' ? asked : 'open'
  if (site !== undefined && !seesSite(person, site)) return respondProblem(c, deps, 'site-not-allowed')
  const page = await visibleFindings(deps, person, {
    limit: PAGE_SIZE,
    state,
    ...(cursor === undefined ? {} : { cursor }),
    ...(site === undefined ? {} : { siteId: site }),
    ...(electrode === undefined ? {} : { electrodeId: electrode }),
  })
  if (!page) return respondProblem(c, deps, 'unknown-cursor')
  const action = decidedAction(call)
  const decidedId = queryPart(c, 'decided')
  const decided = decidedId && action ? await deps.ledger.getFinding(decidedId) : null
  const body = findingList({
    page,
    query: {
      ...(site === undefined ? {} : { site }),
      ...(electrode === undefined ? {} : { electrode }),
      ...(state === 'open' ? {} : { state }),
      ...(cursor === undefined ? {} : { cursor }),
    },
    nowMs: frame.nowMs,
    mayDecide: person.role !== 'field',
    ...(decided && action && seesSite(person, decided.siteId)
      ? {
          decided: {
            findingId: decided.id,
            title: FINDING_TITLES[decided.code],
            surveyRef: decided.surveyRef,
            action,
          },
        }
      : {}),
  })
  return respond(c, frame, { title: 'Findings', section: paths.findings, body })
}

async function one(call: PageCall): Promise<Response> {
  const finding = await call.deps.ledger.getFinding(pathPart(call.c, 'id'))
  return finding ? showOne(call, finding, {}) : respondProblem(call.c, call.deps, 'not-found')
}

async function showOne(
  call: PageCall,
  finding: FindingItem,
  wrong: { reason?: string; message?: string },
): Promise<Response> {
  const { c, deps, person, frame } = call
  const file = await deps.ledger.readElectrodeFile(finding.electrodeId)
  if (!file) return respondProblem(c, deps, 'not-found')
  const barred = barToRead(person, file.record.electrode)
  if (barred) return respondProblem(c, deps, barred)
  const record = file.surveys.find((r) => r.survey.surveyRef === finding.surveyRef)
  const own = record?.judged.findings.some((f) => f.code === finding.code)
    ? (record?.judged.cautions ?? [])
    : []
  const body = findingPage({
    finding,
    decisions: file.decisions.filter((d) => d.findingId === finding.id),
    plot: record ? seriesPlot(file, record.survey.measuredAs, 'history', finding.surveyRef) : null,
    cautions: own.length > 0 ? own : [CAUTIONS.link, CAUTIONS.record],
    nowMs: frame.nowMs,
    mayDecide: barToDecide(person, file.record.electrode) === null,
    decided: decidedAction(call),
    ...(wrong.reason === undefined ? {} : { reason: wrong.reason }),
    ...(wrong.message === undefined ? {} : { problems: [{ fieldId: 'reason-one', message: wrong.message }] }),
  })
  const status = wrong.message === undefined ? 200 : 422
  const title = `${FINDING_TITLES[finding.code]}, ${finding.electrodeId}`
  return respond(c, frame, { title, section: paths.findings, body, wrong: status === 422 }, status)
}

/** Only back to a page of ours. */
function ownBack(back: unknown, fallback: string): string {
  return typeof back === 'string' && /^\/(findings|electrodes)(\/|\?|$)/.test(back) ? back : fallback
}

async function decide(call: PageCall): Promise<Response> {
  const { c, deps, person } = call
  const findingId = pathPart(c, 'id')
  const data = await c.req.formData().catch(() => null)
  const action = DECISION_ACTIONS.find((a) => a === data?.get('action'))
  if (!data || !action) return respondProblem(c, deps, 'not-readable', 'Choose one of the decisions.')
  const reason = String(data.get('reason') ?? '')
  const finding = await deps.ledger.getFinding(findingId)
  if (!finding) return respondProblem(c, deps, 'not-found')
  if (finding.state === 'closed' && action !== 'reopen') return alreadyClosed(call, finding)
  const done = await decideFinding(deps, person, findingId, { action, reason })
  switch (done.kind) {
    case 'not-found':
      return respondProblem(c, deps, 'not-found')
    case 'barred':
      return respondProblem(c, deps, done.problem)
    case 'reason-needed':
      return showOne(call, finding, {
        reason,
        message: `Say why, to ${DECISION_WORDS[action].button.toLowerCase()}: it changes what later tests are compared with.`,
      })
    case 'decided':
    case 'already-so': {
      const back = new URL(ownBack(data.get('back'), paths.finding(findingId)), 'http://here')
      back.searchParams.set('decided', findingId)
      back.searchParams.set('action', action)
      return c.redirect(back.pathname + back.search, 303)
    }
  }
}

/** Somebody else was quicker: nothing of either decision is lost, and the second person is told whose stands. */
async function alreadyClosed(call: PageCall, finding: FindingItem): Promise<Response> {
  const { c, deps, person, frame } = call
  const record = await deps.ledger.getElectrode(finding.electrodeId)
  const barred = record ? barToDecide(person, record.electrode) : 'not-found'
  if (barred) return respondProblem(c, deps, barred)
  const by = finding.closedBy
  const how =
    by === undefined
      ? 'It is closed.'
      : 'decision' in by
        ? `${by.decision.decidedBy} decided it: ${DECISION_WORDS[by.decision.action].done}${by.decision.reason ? `, because: ${by.decision.reason}` : ''}.`
        : `The later survey ${by.laterSurveyRef} settled it.`
  const body = html`<h1>This finding is closed already</h1><p>${how} Your decision was not recorded.</p>
<p><a href="${paths.finding(finding.id)}">See the finding</a>; it can be opened again there. <a href="${withQuery(paths.findings, {})}">Back to the queue</a></p>`
  return respond(c, frame, { title: 'Already closed', section: paths.findings, body }, 409)
}
