import type { Hono } from 'hono'
import { SEVERITIES } from '../../../../shared-lib/survey/finding.ts'
import { seesBeyondSites } from '../../access.ts'
import type { WebDeps } from '../../deps.ts'
import { visibleDue, visibleElectrodes, visibleFindings } from '../../visible-lists.ts'
import type { WebEnv } from '../../web-env.ts'
import { type PageCall, respond, signedIn } from '../respond.ts'
import { paths } from '../view/paths.ts'
import { type Count, homePage } from './home-page.ts'

/** Counting stops here: a home page must not read a fleet. */
const MOST_COUNTED = 200
const MOST_SHOWN = 5

export function registerHome(app: Hono<WebEnv>, deps: WebDeps): void {
  app.get(paths.home, signedIn(deps, home))
}

async function home(call: PageCall): Promise<Response> {
  const { c, deps, person, frame } = call
  const limit = MOST_COUNTED
  const toMonth = new Date(frame.nowMs).toISOString().slice(0, 7)
  const mayList = seesBeyondSites(person)
  const [findings, electrodes, due, uploads, held] = await Promise.all([
    visibleFindings(deps, person, { limit, state: 'open' }),
    visibleElectrodes(deps, person, { limit }),
    visibleDue(deps, person, { limit, toMonth }),
    deps.ledger.listUploads({ limit: 20, ...(mayList ? {} : { by: person.id }) }),
    mayList ? deps.ledger.listHeld({ limit }) : null,
  ])
  const worst = [...(findings?.items ?? [])].sort(
    (a, b) =>
      SEVERITIES.indexOf(b.severity) - SEVERITIES.indexOf(a.severity) || (a.openedAt < b.openedAt ? -1 : 1),
  )
  const body = homePage({
    person,
    openFindings: count(findings),
    worst: worst.slice(0, MOST_SHOWN),
    electrodes: count(electrodes),
    dueThisMonth: count(due),
    uploadsAtWork: uploads.items.filter((u) => u.state === 'received' || u.state === 'working').length,
    held: held === null ? null : count(held),
    nowMs: frame.nowMs,
  })
  return respond(c, frame, {
    title: 'Home',
    section: paths.home,
    body,
    scripts: ['phone'],
  })
}

function count(page: { items: unknown[]; next: string | null } | null): Count {
  return { counted: page?.items.length ?? 0, more: page !== null && page.next !== null }
}
