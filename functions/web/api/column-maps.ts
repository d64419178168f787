import * as z from 'zod'
import { parseColumnMap } from '../../../shared-lib/survey/column-map.ts'
import { visibleMaps } from '../own-map-name.ts'
import { problem } from '../problems.ts'
import { pageOf } from './paging.ts'
import { apiRoute } from './route.ts'

/** Saved column maps: how an operator's own exports are to be read. An upload names one. */

const MOST_NAME_CHARACTERS = 100
const savedMap = z
  .object({
    name: z.string(),
    map: z.looseObject({ columns: z.array(z.looseObject({ heading: z.string(), field: z.string() })) }),
  })
  .meta({ id: 'SavedColumnMap' })

const listMaps = apiRoute({
  method: 'get',
  path: '/api/column-maps',
  summary: 'The saved column maps: the shared ones, and what you pointed out yourself',
  query: z.strictObject({}),
  answers: { 200: { description: 'All of them; `next` is always null', schema: pageOf(savedMap) } },
  async handle({ c, deps, person }) {
    return c.json({ items: visibleMaps(await deps.ledger.listColumnMaps(), person), next: null })
  },
})

const putMap = apiRoute({
  method: 'put',
  path: '/api/column-maps/:name',
  summary: 'Save a column map under a name; uploads sent before keep the one they came with',
  roles: ['admin'],
  fleetWide: true,
  uncheckedJson: z
    .looseObject({})
    .describe('`columns` as an object of own heading to field, or as a list')
    .meta({ id: 'ColumnMap' }),
  answers: { 200: { description: 'Saved, as it will be used', schema: savedMap } },
  async handle({ c, deps, body }) {
    const name = c.req.param('name')!.trim()
    const parsed = parseColumnMap(body)
    const errors = []
    if (name === '' || name.length > MOST_NAME_CHARACTERS || name.startsWith('{'))
      errors.push({
        pointer: '',
        code: 'bad-name',
        detail: `Give a name of 1 to ${MOST_NAME_CHARACTERS} characters that does not begin with "{".`,
      })
    if (!parsed.ok)
      errors.push({
        pointer: '',
        code: 'bad-column-map',
        detail: `The column map cannot be used: ${parsed.reason}.`,
      })
    if (errors.length > 0 || !parsed.ok) return problem(c, 'not-as-described', { errors })
    await deps.ledger.putColumnMap(name, parsed.map)
    return c.json({ name, map: parsed.map })
  },
})

export const columnMapRoutes = [listMaps, putMap]
