import type { Hono } from 'hono'
import type { WebDeps } from '../../deps.ts'
import { EXPORT_NOT_FOUND, findExport, leadToFile } from '../../exports/fetch-export.ts'
import type { WebEnv } from '../../web-env.ts'
import { type PageCall, pathPart, respond, respondProblem, signedIn } from '../respond.ts'
import { paths } from '../view/paths.ts'
import { exportPage, isUnderWay } from './export-page.ts'

const LOOK_AGAIN_S = 5

/** Exports that are made as files: followed, then fetched. */
export function registerExports(app: Hono<WebEnv>, deps: WebDeps): void {
  app.get('/exports/:id', signedIn(deps, show))
  app.get('/exports/:id/file', signedIn(deps, fetchFile))
}

async function show({ c, deps, person, frame }: PageCall): Promise<Response> {
  const job = await findExport(deps, person, pathPart(c, 'id'))
  if (!job) return respondProblem(c, deps, 'not-found', EXPORT_NOT_FOUND)
  const refresh = isUnderWay(job) ? { refreshS: LOOK_AGAIN_S } : {}
  return respond(c, frame, { title: 'Export', body: exportPage(job), ...refresh })
}

async function fetchFile({ c, deps, person }: PageCall): Promise<Response> {
  const job = await findExport(deps, person, pathPart(c, 'id'))
  if (!job) return respondProblem(c, deps, 'not-found', EXPORT_NOT_FOUND)
  // An old page may still offer what is not there yet.
  return c.redirect((await leadToFile(deps, job)) ?? paths.export(job.id), 303)
}
