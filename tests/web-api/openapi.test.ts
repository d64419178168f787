import { describe, expect, it } from 'vitest'
import { apiRoutes } from '../../functions/web/api/api-routes.ts'
import { openapiDocument } from '../../functions/web/api/openapi.ts'

type Operation = {
  responses: Record<string, unknown>
  requestBody?: { content: Record<string, { schema: unknown }> }
  security?: unknown[]
  parameters: { name: string; in: string }[]
}
const document = openapiDocument(apiRoutes()) as {
  openapi: string
  paths: Record<string, Record<string, Operation>>
  components: { schemas: Record<string, { properties?: Record<string, unknown>; required?: string[] }> }
}
const operation = (method: string, path: string) => document.paths[path]![method]!

describe('the OpenAPI description', () => {
  it('has every route of the contract', () => {
    const described = Object.entries(document.paths).flatMap(([path, methods]) =>
      Object.keys(methods).map((method) => `${method.toUpperCase()} ${path}`),
    )
    for (const route of [
      'POST /api/surveys',
      'POST /api/uploads',
      'GET /api/uploads/{id}',
      'GET /api/electrodes',
      'GET /api/electrodes/{id}',
      'PUT /api/electrodes/{id}',
      'GET /api/findings',
      'POST /api/findings/{id}/decisions',
      'GET /api/due',
      'GET /api/export/surveys.csv',
      'GET /api/export/register.csv',
      'GET /api/exports/{id}',
      'PUT /api/instruments/{id}',
      'PUT /api/limits/{electrodeId}',
      'POST /api/works',
      'GET /api/sites',
      'POST /api/uploads/ticket',
      'POST /api/register',
    ])
      expect(described).toContain(route)
  })

  it('points only to schemas that are there', () => {
    const refs = [...JSON.stringify(document).matchAll(/"\$ref":"([^"]+)"/g)].map((m) => m[1]!)
    expect(refs.length).toBeGreaterThan(10)
    for (const ref of refs) {
      expect(ref).toMatch(/^#\/components\/schemas\//)
      expect(Object.keys(document.components.schemas)).toContain(ref.split('/').at(-1))
    }
    expect(JSON.stringify(document)).not.toContain('$defs')
  })

  it('describes a survey by the words it is read with', () => {
    const { properties, required } = document.components.schemas.Survey!
    expect(required?.sort()).toEqual(['surveyRef', 'testedAt'])
    expect(Object.keys(properties!)).toEqual(
      expect.arrayContaining(['electrodeId', 'currentProbeM', 'readings', 'soilState']),
    )
    expect(operation('post', '/api/surveys').requestBody?.content['application/json']?.schema).toEqual({
      $ref: '#/components/schemas/Survey',
    })
  })

  it('says what each call answers, and which need no sign-in', () => {
    expect(Object.keys(operation('post', '/api/surveys').responses)).toEqual(
      expect.arrayContaining(['200', '201', '202', '400', '401', '403', '409', '413', '415', '422', '500']),
    )
    expect(operation('get', '/api/openapi.json').security).toEqual([])
    expect(operation('get', '/api/sites').security).toBeUndefined()
    expect(operation('get', '/api/findings').parameters.map((p) => p.name)).toEqual(
      expect.arrayContaining(['limit', 'cursor', 'state', 'site', 'electrode']),
    )
  })
})
