import type { Hono } from 'hono'
import { seesSite } from '../../../../shared-lib/ports/identity.ts'
import { newCalendarLink } from '../../calendar-feed.ts'
import type { WebDeps } from '../../deps.ts'
import { visibleDue } from '../../visible-lists.ts'
import type { WebEnv } from '../../web-env.ts'
import { type PageCall, queryPart, respond, respondProblem, signedIn } from '../respond.ts'
import { paths } from '../view/paths.ts'
import { calendarPage } from './calendar-page.ts'
import { duePage } from './due-page.ts'
import { visitsWithoutTest } from './not-made.ts'

const PAGE_SIZE = 50
const MONTHS_AHEAD = 13

/** What is due, and the link that shows it in a calendar. */
export function registerDue(app: Hono<WebEnv>, deps: WebDeps): void {
  app.get(paths.due, signedIn(deps, due))
  app.get(
    paths.calendar,
    signedIn(deps, (call) => showCalendar(call, null)),
  )
  app.post(
    paths.calendar,
    signedIn(deps, async (call) => showCalendar(call, await newCalendarLink(deps, call.person))),
  )
}

/** The link is shown once, right after it is made: only its digest is kept. */
async function showCalendar({ c, deps, person, frame }: PageCall, link: string | null): Promise<Response> {
  const feed = await deps.ledger.getFeed(person.id)
  const body = calendarPage({ link, madeAt: feed?.madeAt })
  return respond(c, frame, { title: 'Due dates in a calendar', section: paths.due, body })
}

async function due(call: PageCall): Promise<Response> {
  const { c, deps, person, frame } = call
  const today = new Date(frame.nowMs).toISOString().slice(0, 10)
  const months = monthsFrom(today.slice(0, 7), MONTHS_AHEAD)
  const site = queryPart(c, 'site')
  const to = queryPart(c, 'to')
  const cursor = queryPart(c, 'cursor')
  if (site !== undefined && !seesSite(person, site)) return respondProblem(c, deps, 'site-not-allowed')
  if (to !== undefined && !/^\d{4}-(0[1-9]|1[0-2])$/.test(to)) return respondProblem(c, deps, 'not-found')
  const page = await visibleDue(deps, person, {
    limit: PAGE_SIZE,
    toMonth: to ?? today.slice(0, 7),
    ...(cursor === undefined ? {} : { cursor }),
    ...(site === undefined ? {} : { siteId: site }),
  })
  if (!page) return respondProblem(c, deps, 'unknown-cursor')
  const query = {
    ...(site === undefined ? {} : { site }),
    ...(to === undefined ? {} : { to }),
    ...(cursor === undefined ? {} : { cursor }),
  }
  return respond(c, frame, {
    title: 'Due',
    section: paths.due,
    body: duePage({
      page,
      query,
      months,
      today,
      notMade: await visitsWithoutTest(deps.ledger, page.items),
    }),
  })
}

/** `count` months from this one on, `YYYY-MM`. */
export function monthsFrom(first: string, count: number): string[] {
  const [year = 0, month = 1] = first.split('-').map(Number)
  return Array.from({ length: count }, (_, i) =>
    new Date(Date.UTC(year, month - 1 + i, 1)).toISOString().slice(0, 7),
  )
}
