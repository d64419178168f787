import type { Hono } from 'hono'
import type { WebDeps } from '../deps.ts'
import type { WebEnv } from '../session.ts'
import { registerElectrodes } from './electrodes/electrode-routes.ts'
import { registerFindings } from './findings/finding-routes.ts'
import { registerHome } from './home/home-routes.ts'
import { registerLabels } from './labels/label-routes.ts'
import { registerOffice } from './office-routes.ts'
import { STYLESHEET, STYLESHEET_PATH } from './styles/stylesheet.ts'
import { registerSurveyForm } from './surveys/survey-form-routes.ts'
import { registerSurveys } from './surveys/survey-routes.ts'
import { registerUploads } from './uploads/upload-routes.ts'

/** Mounts every page and the stylesheet. Pages are complete without a script; none is served. */
export function registerPages(app: Hono<WebEnv>, deps: WebDeps): void {
  app.get(STYLESHEET_PATH, (c) =>
    c.body(STYLESHEET, 200, {
      'Content-Type': 'text/css; charset=utf-8',
      // The address carries a hash of the content, so what was fetched once stays good.
      'Cache-Control': c.req.query('v') === undefined ? 'no-cache' : 'public, max-age=31536000, immutable',
      'X-Content-Type-Options': 'nosniff',
    }),
  )
  registerHome(app, deps)
  registerSurveyForm(app, deps)
  registerSurveys(app, deps)
  registerLabels(app, deps)
  registerElectrodes(app, deps)
  registerUploads(app, deps)
  registerFindings(app, deps)
  registerOffice(app, deps)
}
