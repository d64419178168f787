import type { Context, Hono } from 'hono'
import type * as z from 'zod'
import type { Person, Role } from '../../../shared-lib/ports/identity.ts'
import { barToFleetWide } from '../access.ts'
import type { WebDeps } from '../deps.ts'
import { type ProblemName, type ProblemPart, problem } from '../problems.ts'
import type { WebEnv } from '../web-env.ts'
import { readJson } from './read-json.ts'

/** Everything a handler is given. Query and body are what their schemas made of them. */
interface ApiCall<Q, B, P> {
  c: Context<WebEnv>
  deps: WebDeps
  person: P
  query: Q
  body: B
}

interface Answer {
  description: string
  /** JSON unless `contentType` says otherwise. */
  schema?: z.ZodType
  contentType?: string
}

interface RouteWords<Q extends z.ZodType, B extends z.ZodType> {
  method: 'get' | 'post' | 'put'
  /** As hono writes it: `/api/electrodes/:id`. */
  path: string
  summary: string
  query?: Q
  /** Read and checked before the handler runs. */
  json?: B
  /** Read, but left to the handler to check: the schema only describes it. */
  uncheckedJson?: z.ZodType
  /** Bodies the handler reads for itself, by content type, for the description. */
  reads?: Record<string, z.ZodType>
  answers: Record<number, Answer>
  /** Problems it answers with beside 401, 403 and those of a body. */
  problems?: ProblemName[]
}

/** A route that asks who is there: `roles` are those let in; absent = every role. Sites are for the handler to look at. */
export interface SignedInRoute<Q extends z.ZodType, B extends z.ZodType> extends RouteWords<Q, B> {
  roles?: readonly Role[]
  /** It changes what every site relies on: for who has all sites. */
  fleetWide?: true
  open?: undefined
  handle(call: ApiCall<z.output<Q>, z.output<B>, Person>): Promise<Response> | Response
}
/** A route without sign-in; `open` says why that is safe. */
export interface OpenRoute<Q extends z.ZodType, B extends z.ZodType> extends RouteWords<Q, B> {
  open: string
  roles?: undefined
  fleetWide?: undefined
  handle(call: ApiCall<z.output<Q>, z.output<B>, null>): Promise<Response> | Response
}

/** One line of the API. The same value is mounted, described in OpenAPI and checked by the authorization table test. */
export type ApiRoute = RouteWords<z.ZodType, z.ZodType> & {
  roles?: readonly Role[]
  fleetWide?: true
  open?: string
  handle(call: ApiCall<never, never, never>): Promise<Response> | Response
}

/** Declares a route: keeps the types of query and body together with the handler that reads them. */
export function apiRoute<Q extends z.ZodType, B extends z.ZodType>(
  route: SignedInRoute<Q, B> | OpenRoute<Q, B>,
): ApiRoute {
  return route as ApiRoute
}

/** A JSON pointer (RFC 6901) from a path of keys. */
export function pointer(path: readonly PropertyKey[]): string {
  return path.map((key) => `/${String(key).replaceAll('~', '~0').replaceAll('/', '~1')}`).join('')
}

/** What zod found, as the parts of a problem. An unknown key is named where it stands. */
function zodParts(error: z.ZodError): ProblemPart[] {
  return error.issues.flatMap((issue) =>
    issue.code === 'unrecognized_keys'
      ? issue.keys.map((key) => ({
          pointer: pointer([...issue.path, key]),
          code: 'unknown-field',
          detail: `"${key}" is not a field here. Check its spelling or leave it out.`,
        }))
      : [{ pointer: pointer(issue.path), code: issue.code.replaceAll('_', '-'), detail: issue.message }],
  )
}

async function answer(route: ApiRoute, c: Context<WebEnv>, deps: WebDeps): Promise<Response> {
  const person = c.get('person')
  if (route.open === undefined) {
    if (!person) return problem(c, 'not-signed-in')
    if (route.roles && !route.roles.includes(person.role))
      return problem(c, 'role-not-allowed', {
        detail: `This needs the role ${route.roles.join(' or ')}; yours is ${person.role}.`,
      })
    const barred = route.fleetWide ? barToFleetWide(person) : null
    if (barred) return problem(c, barred)
  }
  let query: unknown
  if (route.query) {
    const read = route.query.safeParse(c.req.query())
    if (!read.success)
      return problem(c, 'not-as-described', {
        detail: 'The query of the address must be changed; "errors" says where.',
        errors: zodParts(read.error),
      })
    query = read.data
  }
  const call = { c, deps, person: person as never, query: query as never, body: undefined as never }
  if (!route.json && !route.uncheckedJson) return route.handle(call)
  const got = await readJson(c)
  if ('problem' in got) return problem(c, got.problem, got.words)
  if (!route.json) return route.handle({ ...call, body: got.json as never })
  const read = route.json.safeParse(got.json)
  if (!read.success) return problem(c, 'not-as-described', { errors: zodParts(read.error) })
  return route.handle({ ...call, body: read.data as never })
}

/** Mounts the routes. Who may come in is decided here, before anything of the request is read. Nothing is kept by caches. */
export function mountRoutes(app: Hono<WebEnv>, deps: WebDeps, routes: readonly ApiRoute[]): void {
  for (const route of routes)
    app.on(route.method.toUpperCase(), route.path, async (c) => {
      const answered = await answer(route, c, deps)
      if (!answered.headers.has('Cache-Control')) answered.headers.set('Cache-Control', 'no-store')
      return answered
    })
}
