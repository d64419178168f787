import { bookRoutes } from './books.ts'
import { columnMapRoutes } from './column-maps.ts'
import { dueRoutes } from './due.ts'
import { electrodeRoutes } from './electrodes.ts'
import { exportRoutes } from './export.ts'
import { fieldBookRoutes } from './field-books.ts'
import { findingRoutes } from './findings.ts'
import { mailSettingsRoutes } from './mail-settings.ts'
import { openapiRoutes } from './openapi.ts'
import { parameterRoutes } from './parameters.ts'
import { planRoutes } from './plan/plan-routes.ts'
import { registerRoutes } from './register.ts'
import type { ApiRoute } from './route.ts'
import { siteRoutes } from './sites.ts'
import { surveyRoutes } from './surveys.ts'
import { uploadRoutes } from './uploads.ts'

/** Every route of the API in the order of its description, and the description made of them. */
export function apiRoutes(): readonly ApiRoute[] {
  const routes = [
    ...surveyRoutes,
    ...uploadRoutes(),
    ...electrodeRoutes,
    ...planRoutes,
    ...findingRoutes,
    ...dueRoutes,
    ...siteRoutes,
    ...bookRoutes,
    ...fieldBookRoutes,
    ...registerRoutes,
    ...columnMapRoutes,
    ...mailSettingsRoutes,
    ...parameterRoutes,
    ...exportRoutes,
  ]
  return [...routes, ...openapiRoutes(routes)]
}
