import type { Hono } from 'hono'
import { CAUTIONS } from '../../../../shared-lib/evaluate/cautions.ts'
import { DECISION_ACTIONS, type DecisionAction } from '../../../../shared-lib/history/assessment.ts'
import type { FindingItem } from '../../../../shared-lib/ledger/kept/finding.ts'
import { barToDecide, barToRead } from '../../access.ts'
import { decideFinding } from '../../decide-finding.ts'
import type { WebDeps } from '../../deps.ts'
import type { WebEnv } from '../../web-env.ts'
import { office } from '../office.ts'
import { type PageCall, pathPart, queryPart, respond, respondProblem, signedIn } from '../respond.ts'
import { paths } from '../view/paths.ts'
import { DECISION_WORDS, FINDING_TITLES } from '../view/words.ts'
import { registerQueue } from './queue-routes.ts'
import { wholeReason } from './reasons.ts'
import { trackRecord } from './track-record.ts'
import { whatHappened } from './what-happened.ts'

/** How long somebody is taken to be at a finding that they claimed. */
const CLAIM_MS = 30 * 60_000

/** The review queue, a finding's own page, and decisions as plain forms. */
export function registerFindings(app: Hono<WebEnv>, deps: WebDeps): void {
  registerQueue(app, deps)
  app.get('/findings/:id', signedIn(deps, one))
  app.post('/findings/:id/decisions', signedIn(deps, decide))
  app.post('/findings/:id/claim', signedIn(deps, claim))
}

function decidedAction(call: PageCall): DecisionAction | undefined {
  return DECISION_ACTIONS.find((a) => a === queryPart(call.c, 'action'))
}

async function one(call: PageCall): Promise<Response> {
  const finding = await call.deps.ledger.getFinding(pathPart(call.c, 'id'))
  return finding ? showOne(call, finding, {}) : respondProblem(call.c, call.deps, 'not-found')
}

interface Wrong {
  why?: string
  reason?: string
  message?: string
  meanwhile?: { action: DecisionAction; happened: string }
}

async function showOne(call: PageCall, finding: FindingItem, wrong: Wrong): Promise<Response> {
  const { c, deps, person, frame } = call
  const file = await deps.ledger.readElectrodeFile(finding.electrodeId)
  if (!file) return respondProblem(c, deps, 'not-found')
  const barred = barToRead(person, file.record.electrode)
  if (barred) return respondProblem(c, deps, barred)
  const record = file.surveys.find((r) => r.survey.surveyRef === finding.surveyRef)
  const own = record?.judged.findings.some((f) => f.code === finding.code)
    ? (record?.judged.cautions ?? [])
    : []
  const { seriesPlot, findingPage } = await office()
  const body = findingPage({
    finding,
    decisions: file.decisions.filter((d) => d.findingId === finding.id),
    plot: record ? seriesPlot(file, record.survey.measuredAs, 'history', finding.surveyRef) : null,
    record: await trackRecord(deps.ledger, frame.nowMs),
    judgeVersion: record?.judged.judgeVersion,
    cautions: own.length > 0 ? own : [CAUTIONS.link, CAUTIONS.record],
    nowMs: frame.nowMs,
    mayDecide: barToDecide(person, file.record.electrode) === null,
    decided: decidedAction(call),
    personId: person.id,
    ...(wrong.why === undefined ? {} : { why: wrong.why }),
    ...(wrong.reason === undefined ? {} : { reason: wrong.reason }),
    ...(wrong.meanwhile === undefined ? {} : { meanwhile: wrong.meanwhile }),
    ...(wrong.message === undefined ? {} : { problems: [{ fieldId: 'reason-one', message: wrong.message }] }),
  })
  const status = wrong.meanwhile ? 409 : wrong.message === undefined ? 200 : 422
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
  const [why, typed] = [String(data.get('why') ?? ''), String(data.get('reason') ?? '')]
  const reason = wholeReason(why, typed)
  const finding = await deps.ledger.getFinding(findingId)
  if (!finding) return respondProblem(c, deps, 'not-found')
  const seen = data.get('seen')
  if (finding.state === 'closed' && action !== 'reopen' && seen === null)
    return changedMeanwhile(call, finding, { action, why, typed })
  const done = await decideFinding(deps, person, findingId, {
    action,
    reason,
    ...(typeof seen === 'string' ? { seen } : {}),
  })
  switch (done.kind) {
    case 'not-found':
      return respondProblem(c, deps, 'not-found')
    case 'barred':
      return respondProblem(c, deps, done.problem)
    case 'changed':
      return changedMeanwhile(call, done.finding, { action, why, typed })
    case 'reason-needed':
      return showOne(call, finding, {
        why,
        reason: typed,
        message: `Say why, to ${DECISION_WORDS[action].button.toLowerCase()}: it changes what later tests are compared with, and the crew reads it.`,
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

/**
 * Somebody else was quicker, or a later survey settled it: the second person is told what happened, on the finding itself, with
 * their own decision still there to be made.
 */
async function changedMeanwhile(
  call: PageCall,
  finding: FindingItem,
  wanted: { action: DecisionAction; why: string; typed: string },
): Promise<Response> {
  const record = await call.deps.ledger.getElectrode(finding.electrodeId)
  const barred = record ? barToDecide(call.person, record.electrode) : 'not-found'
  if (barred) return respondProblem(call.c, call.deps, barred)
  return showOne(call, finding, {
    why: wanted.why,
    reason: wanted.typed,
    meanwhile: {
      action: wanted.action,
      happened: whatHappened(finding, call.frame.nowMs) || 'It is closed.',
    },
  })
}

/** Says that one is at it, or no longer; it lapses by itself. */
async function claim(call: PageCall): Promise<Response> {
  const { c, deps, person } = call
  const findingId = pathPart(c, 'id')
  const finding = await deps.ledger.getFinding(findingId)
  const record = finding && (await deps.ledger.getElectrode(finding.electrodeId))
  if (!finding || !record) return respondProblem(c, deps, 'not-found')
  const barred = barToDecide(person, record.electrode)
  if (barred) return respondProblem(c, deps, barred)
  const data = await c.req.formData().catch(() => null)
  const nowMs = deps.clock.nowMs()
  const wanted =
    data?.get('let-go') === 'yes' ? null : { by: person.id, name: person.name, untilMs: nowMs + CLAIM_MS }
  // Not taken: the page says who has it.
  await deps.ledger.claimFinding(findingId, person.id, wanted, nowMs)
  return c.redirect(paths.finding(findingId), 303)
}
