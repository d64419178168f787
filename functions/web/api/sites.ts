import * as z from 'zod'
import { readFleet } from '../read-fleet.ts'
import { pageOf } from './paging.ts'
import { apiRoute } from './route.ts'

const counts = z
  .object({
    conforming: z.number(),
    nonconforming: z.number(),
    inconclusive: z.number(),
    'not-assessed': z.number(),
    'no-value': z.number(),
    'never-tested': z.number(),
    overdue: z.number(),
  })
  .meta({ id: 'StandingCounts', description: 'Electrodes by their newest test, as counted last' })
const site = z
  .object({ siteId: z.string(), electrodes: z.number(), counts: counts.optional() })
  .meta({ id: 'Site' })

const listSites = apiRoute({
  method: 'get',
  path: '/api/sites',
  summary: 'Your sites, with how many electrodes each has and how they stood when the fleet was counted last',
  query: z.strictObject({}),
  answers: {
    200: {
      description: 'All of them; `next` is always null. `countedAt` is null before the first count.',
      schema: pageOf(site).extend({ countedAt: z.string().nullable() }),
    },
  },
  async handle({ c, deps, person }) {
    const { rows, countedAt } = await readFleet(deps, person)
    return c.json({ items: rows, next: null, countedAt })
  },
})

export const siteRoutes = [listSites]
