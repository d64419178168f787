import type { Hono } from 'hono'
import type { WebDeps } from '../deps.ts'
import { answerPacked } from '../packed-answer.ts'
import type { WebEnv } from '../web-env.ts'
import { registerDue } from './due/due-routes.ts'
import { registerElectrodes } from './electrodes/electrode-routes.ts'
import { registerExports } from './exports/export-routes.ts'
import { registerFindings } from './findings/finding-routes.ts'
import { registerHeld } from './held/held-routes.ts'
import { registerHome } from './home/home-routes.ts'
import { registerInstruments } from './instruments/instrument-routes.ts'
import { registerLabels } from './labels/label-routes.ts'
import { registerMailSettings } from './mail-settings/mail-settings-routes.ts'
import { registerOutbox } from './outbox/outbox-routes.ts'
import { registerPlan } from './plan/plan-pages.ts'
import { registerFilePage } from './register/file-routes.ts'
import { registerBooks } from './register/register-routes.ts'
import { registerSites } from './sites/site-routes.ts'
import { FIELD_SHEET, OFFICE_SHEET, type Sheet } from './styles/stylesheet.ts'
import { registerSurveyForm } from './surveys/survey-form-routes.ts'
import { registerSurveys } from './surveys/survey-routes.ts'
import { registerUploads } from './uploads/upload-routes.ts'

/** The address of this very text carries a hash of it, so what was fetched once stays good; without it, it is asked for again. */
function mountSheet(app: Hono<WebEnv>, { path, text }: Sheet): void {
  const as = (cacheControl: string) => ({
    text,
    headers: { 'Content-Type': 'text/css; charset=utf-8', 'Cache-Control': cacheControl },
  })
  const hashed = as('public, max-age=31536000, immutable')
  const latest = as('no-cache')
  app.get(path, (c) => answerPacked(c, c.req.query('v') === undefined ? latest : hashed))
}

/** Mounts every page and the stylesheet. Pages are complete without a script. */
export function registerPages(app: Hono<WebEnv>, deps: WebDeps): void {
  mountSheet(app, OFFICE_SHEET)
  mountSheet(app, FIELD_SHEET)
  registerHome(app, deps)
  registerSurveyForm(app, deps)
  registerSurveys(app, deps)
  registerLabels(app, deps)
  registerElectrodes(app, deps)
  registerSites(app, deps)
  registerPlan(app, deps)
  registerUploads(app, deps)
  registerFindings(app, deps)
  registerExports(app, deps)
  registerInstruments(app, deps)
  registerBooks(app, deps)
  registerFilePage(app, deps)
  registerHeld(app, deps)
  registerDue(app, deps)
  registerOutbox(app, deps)
  registerMailSettings(app, deps)
}
