import * as z from 'zod'
import { seesSite } from '../../../shared-lib/ports/identity.ts'
import { pageOf } from './paging.ts'
import { apiRoute } from './route.ts'

const site = z.object({ siteId: z.string(), electrodes: z.number() }).meta({ id: 'Site' })

const listSites = apiRoute({
  method: 'get',
  path: '/api/sites',
  summary: 'Your sites, with how many electrodes each has',
  query: z.strictObject({}),
  answers: { 200: { description: 'All of them; `next` is always null', schema: pageOf(site) } },
  async handle({ c, deps, person }) {
    const sites = await deps.ledger.listSites()
    return c.json({ items: sites.filter((s) => seesSite(person, s.siteId)), next: null })
  },
})

export const siteRoutes = [listSites]
