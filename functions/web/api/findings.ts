import * as z from 'zod'
import { DECISION_ACTIONS } from '../../../shared-lib/history/assessment.ts'
import type { FindingItem } from '../../../shared-lib/ledger/kept/finding.ts'
import { seesSite } from '../../../shared-lib/ports/identity.ts'
import { barToRead } from '../access.ts'
import { decideFinding } from '../decide-finding.ts'
import { decideMany, MOST_AT_ONCE } from '../decide-many.ts'
import { versionOf } from '../finding-version.ts'
import { problem } from '../problems.ts'
import { visibleFindings } from '../visible-lists.ts'
import { findingItem } from './answer-schemas.ts'
import { askedId } from './asked-id.ts'
import { PAGING, pageOf } from './paging.ts'
import { apiRoute } from './route.ts'

const listFindings = apiRoute({
  method: 'get',
  path: '/api/findings',
  summary: 'Findings to be looked at, narrowed to what you may see',
  query: z.strictObject({
    ...PAGING,
    state: z.enum(['open', 'closed', 'all']).default('open'),
    site: askedId,
    electrode: askedId,
  }),
  answers: { 200: { description: 'One page', schema: pageOf(findingItem) } },
  problems: ['unknown-cursor', 'not-found'],
  async handle({ c, deps, person, query }) {
    let siteId = query.site
    if (query.electrode !== undefined) {
      const record = await deps.ledger.getElectrode(query.electrode)
      if (!record)
        return problem(c, 'not-found', { detail: `No electrode "${query.electrode}" is in the register.` })
      const barred = barToRead(person, record.electrode)
      if (barred) return problem(c, barred)
      if (siteId !== undefined && siteId !== record.electrode.siteId) return c.json({ items: [], next: null })
      siteId = record.electrode.siteId
    }
    if (siteId !== undefined && !seesSite(person, siteId)) return problem(c, 'site-not-allowed')
    const page = await visibleFindings(deps, person, {
      limit: query.limit,
      state: query.state,
      ...(query.cursor === undefined ? {} : { cursor: query.cursor }),
      ...(siteId === undefined ? {} : { siteId }),
      ...(query.electrode === undefined ? {} : { electrodeId: query.electrode }),
    })
    return page ? c.json(page) : problem(c, 'unknown-cursor')
  },
})

const getFinding = apiRoute({
  method: 'get',
  path: '/api/findings/:id',
  summary: 'One finding',
  answers: { 200: { description: 'The finding', schema: findingItem } },
  problems: ['not-found'],
  async handle({ c, deps, person }) {
    const found = await deps.ledger.getFinding(c.req.param('id')!)
    const record = found && (await deps.ledger.getElectrode(found.electrodeId))
    if (!found || !record) return problem(c, 'not-found', { detail: 'No finding has this id.' })
    const barred = barToRead(person, record.electrode)
    return barred ? problem(c, barred) : c.json(found)
  },
})

const decide = apiRoute({
  method: 'post',
  path: '/api/findings/:id/decisions',
  summary: 'Decide about a finding. Decisions are only added; "reopen" undoes',
  roles: ['quality', 'engineer', 'admin'],
  json: z
    .strictObject({
      action: z.enum(DECISION_ACTIONS),
      reason: z.string().max(2000).default('').describe('Needed for set-aside and repaired.'),
      seen: z
        .string()
        .max(200)
        .optional()
        .describe('Version of the finding as it was shown: 409 when it changed since.'),
    })
    .meta({ id: 'NewDecision' }),
  answers: {
    200: { description: 'You had decided so before; nothing was added', schema: findingItem },
    201: { description: 'Decided; the finding as it is now', schema: findingItem },
  },
  problems: ['not-found', 'electrode-not-yours', 'decided-meanwhile'],
  async handle({ c, deps, person, body }) {
    const { seen, ...wanted } = body
    const done = await decideFinding(deps, person, c.req.param('id')!, {
      ...wanted,
      ...(seen === undefined ? {} : { seen }),
    })
    switch (done.kind) {
      case 'decided':
        return c.json(done.finding, 201)
      case 'already-so':
        return c.json(done.finding, 200)
      case 'changed':
        return problem(c, 'decided-meanwhile', { extra: { finding: done.finding } })
      case 'not-found':
        return problem(c, 'not-found', { detail: 'No finding has this id.' })
      case 'barred':
        return problem(c, done.problem)
      case 'reason-needed':
        return problem(c, 'not-as-described', {
          errors: [
            {
              pointer: '/reason',
              code: 'reason-needed',
              detail: `Say why: "${body.action}" needs a reason.`,
            },
          ],
        })
    }
  },
})

/** Why one of many was left as it is. */
const NOT_DECIDED = {
  changed: 'It changed after you looked at it; nothing was added.',
  claimed: 'Somebody else is at it.',
  barred: 'You may not decide about this electrode.',
  'not-found': 'No finding has this id.',
} as const

const decideTogether = apiRoute({
  method: 'post',
  path: '/api/findings/decisions',
  summary: `The same decision about up to ${MOST_AT_ONCE} findings, each named`,
  roles: ['quality', 'engineer', 'admin'],
  json: z
    .strictObject({
      action: z.enum(DECISION_ACTIONS),
      reason: z.string().max(2000).default(''),
      count: z
        .number()
        .int()
        .describe('How many you mean: nothing is done when it is not the number of findings named.'),
      findings: z
        .array(
          z.strictObject({
            id: z.string().min(1).max(1000),
            seen: z
              .string()
              .max(200)
              .optional()
              .describe('Version as it was shown; absent: whatever happened since.'),
          }),
        )
        .max(MOST_AT_ONCE, { error: `Name ${MOST_AT_ONCE} findings at most.` }),
    })
    .meta({ id: 'DecisionForMany' }),
  answers: {
    200: {
      description: 'What became of each, in the order named',
      schema: z.object({
        decided: z.array(findingItem.extend({ version: z.string() })),
        notDecided: z.array(
          z.object({
            id: z.string(),
            why: z.enum(['changed', 'claimed', 'barred', 'not-found']),
            words: z.string(),
            finding: findingItem.extend({ version: z.string() }).optional(),
          }),
        ),
      }),
    },
  },
  async handle({ c, deps, person, body }) {
    const refuse = (pointer: string, code: string, detail: string) =>
      problem(c, 'not-as-described', { errors: [{ pointer, code, detail }] })
    const named = new Set(body.findings.map((f) => f.id)).size
    if (named === 0 || named !== body.count)
      return refuse('/count', 'other-count', `You mean ${body.count} and name ${named}. Nothing was decided.`)
    const done = await decideMany(deps, person, body.findings, body)
    if (done.kind === 'reason-needed')
      return refuse('/reason', 'reason-needed', `Say why: "${body.action}" needs a reason.`)
    if (done.kind !== 'done') return refuse('/findings', done.kind, `Name 1 to ${MOST_AT_ONCE} findings.`)
    const withVersion = (finding: FindingItem) => ({ ...finding, version: versionOf(finding) })
    const decided = []
    const notDecided = []
    for (const { id, outcome } of done.each) {
      if (outcome.kind === 'decided' || outcome.kind === 'already-so')
        decided.push(withVersion(outcome.finding))
      else {
        const finding = 'finding' in outcome ? { finding: withVersion(outcome.finding) } : {}
        notDecided.push({ id, why: outcome.kind, words: NOT_DECIDED[outcome.kind], ...finding })
      }
    }
    return c.json({ decided, notDecided })
  },
})

export const findingRoutes = [listFindings, getFinding, decideTogether, decide]
