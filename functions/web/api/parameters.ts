import * as z from 'zod'
import { thresholdChanges } from '../../../shared-lib/history/learn/learn-thresholds.ts'
import { defaultParameters } from '../../../shared-lib/history/parameters.ts'
import { problem } from '../problems.ts'
import { apiRoute } from './route.ts'

/** What the fleet has taught: proposed with what it would change, in force only when somebody has adopted it. */

const numbers = z.record(z.string(), z.number())
const learntVersion = z
  .object({
    version: z.string(),
    learntAt: z.string(),
    inForce: z.boolean(),
    parameters: z
      .looseObject({ version: z.string() })
      .describe('As `stakeline check --parameters` takes them'),
    counts: numbers.describe(
      'Findings that would appear, go, become graver or milder, or have another chance',
    ),
    thresholds: z
      .array(
        z.object({
          code: z.string(),
          before: z.number(),
          after: z.number(),
          confirmed: z.number(),
          dismissed: z.number(),
        }),
      )
      .describe('From which chance on a code is raised, against those in force, and the decisions behind it'),
    changes: z.array(z.looseObject({})).describe('The first of them by name'),
  })
  .meta({ id: 'LearntParameters' })
const answer = z
  .object({
    inForce: z.string().describe('Version; `default-…` until one was adopted'),
    items: z.array(learntVersion),
    next: z.null(),
  })
  .meta({ id: 'Parameters' })

const listParameters = apiRoute({
  method: 'get',
  path: '/api/parameters',
  summary: 'The parameters in force, and what has been learnt since',
  roles: ['quality', 'engineer', 'admin'],
  query: z.strictObject({}),
  answers: { 200: { description: 'All versions, the newest first', schema: answer } },
  async handle({ c, deps }) {
    const current = await deps.ledger.adoptedParameters()
    const adopted = current?.adoption.version
    const inForce = current?.parameters ?? defaultParameters
    const items = (await deps.ledger.listLearnt()).map(({ parameters, learntAt, counts, changes }) => {
      const { version } = parameters
      return {
        version,
        learntAt,
        inForce: version === adopted,
        parameters,
        counts,
        thresholds: thresholdChanges(inForce, parameters),
        changes,
      }
    })
    return c.json({ inForce: adopted ?? 'default', items, next: null })
  },
})

const adopt = apiRoute({
  method: 'post',
  path: '/api/parameters/:version/adopt',
  summary: 'Judge by these parameters from now on; every site is judged anew',
  roles: ['engineer', 'admin'],
  fleetWide: true,
  answers: {
    200: {
      description: 'Adopted',
      schema: z.object({ inForce: z.string(), sites: z.number() }).meta({ id: 'AdoptedParameters' }),
    },
  },
  problems: ['not-found'],
  async handle({ c, deps, person }) {
    const version = c.req.param('version')!
    const at = new Date(deps.clock.nowMs()).toISOString()
    if (!(await deps.ledger.adoptParameters({ version, by: person.id, at }))) return problem(c, 'not-found')
    return c.json({ inForce: version, sites: await deps.desk.rejudgeAll() })
  },
})

export const parameterRoutes = [listParameters, adopt]
