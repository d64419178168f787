import * as z from 'zod'
import { PROBLEMS, type ProblemName } from '../problems.ts'
import { type ApiRoute, apiRoute } from './route.ts'

type Json = Record<string, unknown>

const problemDocument = z
  .looseObject({
    type: z.string().describe('What programs branch on; opens a short explanation.'),
    title: z.string(),
    status: z.number(),
    detail: z.string().describe('For people.'),
    instance: z.string(),
    requestId: z.string(),
    errors: z
      .array(
        z.object({
          pointer: z.string().describe('JSON pointer (RFC 6901)'),
          code: z.string(),
          detail: z.string(),
        }),
      )
      .optional(),
  })
  .meta({ id: 'Problem' })

/** The JSON schema of a zod schema, its named parts moved to `components` and referred to there. */
function jsonSchema(schema: z.ZodType, io: 'input' | 'output', components: Json): Json {
  const made = z.toJSONSchema(schema, { io, target: 'draft-2020-12', unrepresentable: 'any' }) as Json
  const { $schema: _, $defs, ...own } = made
  const moved = (text: string) => JSON.parse(text.replaceAll('"#/$defs/', '"#/components/schemas/')) as Json
  for (const [name, part] of Object.entries(($defs as Json | undefined) ?? {})) {
    const { $schema: __, id: ___, ...rest } = moved(JSON.stringify(part))
    components[name] ??= rest
  }
  const { id, ...rest } = moved(JSON.stringify(own))
  if (typeof id !== 'string') return rest
  components[id] ??= rest
  return { $ref: `#/components/schemas/${id}` }
}

function parameters(route: ApiRoute, components: Json): Json[] {
  const inPath = [...route.path.matchAll(/:(\w+)/g)].map(([, name]) => ({
    name,
    in: 'path',
    required: true,
    schema: { type: 'string' },
  }))
  if (!route.query) return inPath
  const query = jsonSchema(route.query, 'input', components)
  const needed = (query.required as string[] | undefined) ?? []
  const inQuery = Object.entries((query.properties as Record<string, Json>) ?? {}).map(([name, schema]) => ({
    name,
    in: 'query',
    required: needed.includes(name),
    schema,
  }))
  return [...inPath, ...inQuery]
}

/** The problems a route can answer with: its own, and those that come with sign-in, a query or a body. */
function problemsOf(route: ApiRoute): ProblemName[] {
  const own = route.problems ?? []
  const signIn: ProblemName[] = route.open === undefined ? ['not-signed-in', 'site-not-allowed'] : []
  const role: ProblemName[] = route.roles ? ['role-not-allowed'] : []
  const fleet: ProblemName[] = route.fleetWide ? ['all-sites-needed'] : []
  const origin: ProblemName[] = route.method === 'get' ? [] : ['other-origin']
  const query: ProblemName[] = route.query ? ['not-as-described'] : []
  const body: ProblemName[] =
    route.json || route.uncheckedJson ? ['not-readable', 'too-large', 'media-type', 'not-as-described'] : []
  return [
    ...new Set([
      ...own,
      ...signIn,
      ...role,
      ...fleet,
      ...origin,
      ...query,
      ...body,
      'too-many' as const,
      'busy' as const,
      'internal' as const,
    ]),
  ]
}

function responses(route: ApiRoute, components: Json): Json {
  const made: Json = {}
  for (const [status, { description, schema, contentType = 'application/json' }] of Object.entries(
    route.answers,
  )) {
    const content = schema
      ? { [contentType]: { schema: jsonSchema(schema, 'output', components) } }
      : undefined
    made[status] = { description, ...(content ? { content } : {}) }
  }
  if (route.query)
    made[431] = { description: 'Address and headers together are longer than the server takes, some 16 kB' }
  const byStatus = Map.groupBy(problemsOf(route), (name) => PROBLEMS[name].status)
  for (const [status, names] of byStatus)
    made[status] = {
      description: names.map((name) => `${PROBLEMS[name].title} (/problems/${name})`).join('; '),
      content: { 'application/problem+json': { schema: jsonSchema(problemDocument, 'output', components) } },
    }
  return made
}

function requestBody(route: ApiRoute, components: Json): Json | undefined {
  const json = route.json ?? route.uncheckedJson
  const bodies = json ? { 'application/json': json, ...route.reads } : route.reads
  if (!bodies) return undefined
  const content = Object.fromEntries(
    Object.entries(bodies).map(([type, schema]) => [
      type,
      { schema: jsonSchema(schema, 'input', components) },
    ]),
  )
  return { required: true, content }
}

/** The OpenAPI 3.1 description, made of the same schemas the routes check with. */
export function openapiDocument(routes: readonly ApiRoute[]): Json {
  const schemas: Json = {}
  const paths: Record<string, Json> = {}
  for (const route of routes) {
    const path = route.path.replaceAll(/:(\w+)/g, '{$1}')
    const body = requestBody(route, schemas)
    paths[path] = {
      ...paths[path],
      [route.method]: {
        summary: route.summary,
        ...(route.roles ? { description: `Roles: ${route.roles.join(', ')}.` } : {}),
        ...(route.open === undefined ? {} : { description: route.open, security: [] }),
        parameters: parameters(route, schemas),
        ...(body ? { requestBody: body } : {}),
        responses: responses(route, schemas),
      },
    }
  }
  return {
    openapi: '3.1.0',
    info: {
      title: 'stakeline',
      version: '1',
      description:
        'Takes in earth (ground) electrode resistance surveys, judges each and compares it with earlier tests. Lengths are metres, resistances ohms, temperatures degrees Celsius, times ISO 8601 with offset. Local law and the operator’s rules come first.',
    },
    security: [{ bearer: [] }, { session: [] }],
    paths,
    components: {
      schemas,
      securitySchemes: {
        bearer: { type: 'http', scheme: 'bearer' },
        session: { type: 'apiKey', in: 'cookie', name: 'stakeline_session' },
      },
    },
  }
}

/** `/api/openapi.json`, made once. */
export function openapiRoutes(routes: readonly ApiRoute[]): ApiRoute[] {
  let text: string | undefined
  const serve: ApiRoute = apiRoute({
    method: 'get',
    path: '/api/openapi.json',
    summary: 'This description',
    open: 'Says how to call the service and nothing about what is in it.',
    answers: { 200: { description: 'OpenAPI 3.1', schema: z.looseObject({ openapi: z.string() }) } },
    handle({ c }): Response {
      text ??= JSON.stringify(openapiDocument([...routes, serve]))
      return c.body(text, 200, { 'Content-Type': 'application/json' })
    },
  })
  return [serve]
}
