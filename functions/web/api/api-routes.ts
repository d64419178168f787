import { dueRoutes } from './due.ts'
import { findingRoutes } from './findings.ts'
import { openapiRoutes } from './openapi.ts'
import type { ApiRoute } from './route.ts'
import { siteRoutes } from './sites.ts'

/** Every route of the API, in the order of its description. */
export const API_ROUTES: readonly ApiRoute[] = [...findingRoutes, ...dueRoutes, ...siteRoutes]

/** The routes and the description made of them. */
export const ALL_API_ROUTES: readonly ApiRoute[] = [...API_ROUTES, ...openapiRoutes(API_ROUTES)]
