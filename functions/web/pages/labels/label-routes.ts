import type { Hono } from 'hono'
import { seesSite } from '../../../../shared-lib/ports/identity.ts'
import type { WebDeps } from '../../deps.ts'
import { visibleElectrodesOfSite } from '../../visible-lists.ts'
import type { WebEnv } from '../../web-env.ts'
import { office } from '../office.ts'
import { type PageCall, pathPart, respond, respondProblem, signedIn } from '../respond.ts'
import { paths } from '../view/paths.ts'

/** About fifty sheets. */
const MOST_LABELS = 1000

/** `/sites/…/labels`: what is stuck on the lids of one site. */
export function registerLabels(app: Hono<WebEnv>, deps: WebDeps): void {
  app.get('/sites/:id/labels', signedIn(deps, labels))
}

async function labels({ c, deps, person, frame }: PageCall): Promise<Response> {
  const siteId = pathPart(c, 'id')
  if (!seesSite(person, siteId)) return respondProblem(c, deps, 'site-not-allowed')
  const { electrodes, complete } = await visibleElectrodesOfSite(deps, person, siteId, MOST_LABELS)
  const { labelPage } = await office()
  const body = labelPage({
    siteId,
    electrodes,
    baseUrl: deps.settings.baseUrl,
    complete,
  })
  return respond(c, frame, { title: `Labels for site ${siteId}`, section: paths.electrodes, body })
}
