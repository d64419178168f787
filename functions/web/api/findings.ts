import * as z from 'zod'
import { DECISION_ACTIONS } from '../../../shared-lib/history/assessment.ts'
import { seesSite } from '../../../shared-lib/ports/identity.ts'
import { barToRead } from '../access.ts'
import { decideFinding } from '../decide-finding.ts'
import { problem } from '../problems.ts'
import { visibleFindings } from '../visible-lists.ts'
import { findingItem } from './answer-schemas.ts'
import { PAGING, pageOf } from './paging.ts'
import { apiRoute } from './route.ts'

const listFindings = apiRoute({
  method: 'get',
  path: '/api/findings',
  summary: 'Findings to be looked at, narrowed to what you may see',
  query: z.strictObject({
    ...PAGING,
    state: z.enum(['open', 'closed', 'all']).default('open'),
    site: z.string().min(1).optional(),
    electrode: z.string().min(1).optional(),
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
    })
    .meta({ id: 'NewDecision' }),
  answers: {
    200: { description: 'You had decided so before; nothing was added', schema: findingItem },
    201: { description: 'Decided; the finding as it is now', schema: findingItem },
  },
  problems: ['not-found', 'electrode-not-yours'],
  async handle({ c, deps, person, body }) {
    const done = await decideFinding(deps, person, c.req.param('id')!, body)
    switch (done.kind) {
      case 'decided':
        return c.json(done.finding, 201)
      case 'already-so':
        return c.json(done.finding, 200)
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

export const findingRoutes = [listFindings, getFinding, decide]
