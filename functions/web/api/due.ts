import * as z from 'zod'
import { seesSite } from '../../../shared-lib/ports/identity.ts'
import { FINDING_CODES } from '../../../shared-lib/survey/finding.ts'
import { problem } from '../problems.ts'
import { visibleDue } from '../visible-lists.ts'
import { askedId } from './asked-id.ts'
import { PAGING, pageOf } from './paging.ts'
import { apiRoute } from './route.ts'

const dueItem = z
  .object({
    electrodeId: z.string(),
    siteId: z.string(),
    dueOn: z.string(),
    overdue: z.boolean(),
    lastTestedAt: z.string().optional(),
    retest: z
      .object({
        reason: z.enum(FINDING_CODES),
        surveyRef: z.string(),
        askedBy: z.enum(['step', 'decision']),
        askedOn: z.string(),
        dueOn: z.string(),
        standsFrom: z.string(),
      })
      .optional()
      .describe('A test asked for before its time, on the same line with the same stakes.'),
    limitOhm: z.number().optional(),
    limitBasis: z.string().optional(),
    retestMonths: z.number().optional(),
    retestPolicy: z.string().optional(),
  })
  .meta({ id: 'DueItem' })

const listDue = apiRoute({
  method: 'get',
  path: '/api/due',
  summary: 'Electrodes that need a test, up to the end of a month',
  query: z.strictObject({
    ...PAGING,
    site: askedId,
    to: z
      .string()
      .regex(/^\d{4}-(0[1-9]|1[0-2])$/, { error: 'Give a month such as 2026-05.' })
      .optional()
      .describe('Month, YYYY-MM; this month unless told.'),
  }),
  answers: { 200: { description: 'One page', schema: pageOf(dueItem) } },
  problems: ['unknown-cursor'],
  async handle({ c, deps, person, query }) {
    if (query.site !== undefined && !seesSite(person, query.site)) return problem(c, 'site-not-allowed')
    const today = new Date(deps.clock.nowMs()).toISOString().slice(0, 10)
    const page = await visibleDue(deps, person, {
      limit: query.limit,
      toMonth: query.to ?? today.slice(0, 7),
      ...(query.cursor === undefined ? {} : { cursor: query.cursor }),
      ...(query.site === undefined ? {} : { siteId: query.site }),
    })
    if (!page) return problem(c, 'unknown-cursor')
    const items = page.items.map(({ electrode, dueOn, lastTestedAt, retest }) => ({
      electrodeId: electrode.electrodeId,
      siteId: electrode.siteId,
      dueOn,
      overdue: dueOn !== undefined && dueOn.slice(0, 10) < today,
      lastTestedAt,
      retest,
      limitOhm: electrode.limitOhm,
      limitBasis: electrode.limitBasis,
      retestMonths: electrode.retestMonths,
      retestPolicy: electrode.retestPolicy,
    }))
    return c.json({ items, next: page.next })
  },
})

export const dueRoutes = [listDue]
