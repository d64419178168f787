import type { Hono } from 'hono'
import { seesSite } from '../../../../shared-lib/ports/identity.ts'
import { barToDecide, barToRead } from '../../access.ts'
import type { WebDeps } from '../../deps.ts'
import { visibleElectrodes } from '../../visible-lists.ts'
import type { WebEnv } from '../../web-env.ts'
import { office } from '../office.ts'
import { type PageCall, pathPart, queryPart, respond, respondProblem, signedIn } from '../respond.ts'
import { paths } from '../view/paths.ts'
import { electrodeList, matchesSearch } from './electrode-list.ts'

const PAGE_SIZE = 50
/** Pages of the store that one search may read before it asks the person to go on. */
const MOST_SEARCH_PAGES = 20

/** Lists and pages of electrodes. */
export function registerElectrodes(app: Hono<WebEnv>, deps: WebDeps): void {
  app.get(paths.electrodes, signedIn(deps, list))
  app.get('/electrodes/:id', signedIn(deps, one))
}

async function list(call: PageCall): Promise<Response> {
  const { c, deps, person, frame } = call
  const query = { q: queryPart(c, 'q'), site: queryPart(c, 'site'), cursor: queryPart(c, 'cursor') }
  if (query.site !== undefined && !seesSite(person, query.site))
    return respondProblem(c, deps, 'site-not-allowed')
  const { q } = query
  const exact = q === undefined ? null : await deps.ledger.getElectrode(q)
  if (
    exact &&
    barToRead(person, exact.electrode) === null &&
    (query.site === undefined || exact.electrode.siteId === query.site)
  )
    return c.redirect(paths.electrode(exact.electrode.electrodeId), 303)
  let cursor = query.cursor
  const items: Awaited<ReturnType<typeof visibleElectrodes>> = { items: [], next: null }
  for (let i = 0; i < (q === undefined ? 1 : MOST_SEARCH_PAGES); i++) {
    const page = await visibleElectrodes(deps, person, {
      limit: q === undefined ? PAGE_SIZE : 200,
      ...(cursor === undefined ? {} : { cursor }),
      ...(query.site === undefined ? {} : { siteId: query.site }),
    })
    if (!page) return respondProblem(c, deps, 'unknown-cursor')
    items.items.push(...(q === undefined ? page.items : page.items.filter((r) => matchesSearch(r, q))))
    items.next = page.next
    if (page.next === null || items.items.length >= PAGE_SIZE) break
    cursor = page.next
  }
  const shown = {
    ...(query.q === undefined ? {} : { q: query.q }),
    ...(query.site === undefined ? {} : { site: query.site }),
    ...(query.cursor === undefined ? {} : { cursor: query.cursor }),
  }
  return respond(c, frame, {
    title: 'Electrodes',
    section: paths.electrodes,
    body: electrodeList({ page: items, query: shown, mayRegister: person.role === 'admin' }),
  })
}

async function one(call: PageCall): Promise<Response> {
  const { c, deps, person, frame } = call
  const file = await deps.ledger.readElectrodeFile(pathPart(c, 'id'))
  if (!file) return respondProblem(c, deps, 'not-found')
  const barred = barToRead(person, file.record.electrode)
  if (barred) return respondProblem(c, deps, barred)
  const mayDecide = barToDecide(person, file.record.electrode) === null
  const { electrodePage } = await office()
  const body = electrodePage({ file, nowMs: frame.nowMs, mayDecide, mayRegister: person.role === 'admin' })
  return respond(c, frame, {
    title: `Electrode ${file.record.electrode.electrodeId}`,
    section: paths.electrodes,
    body,
  })
}
