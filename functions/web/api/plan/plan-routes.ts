import * as z from 'zod'
import { barToRead } from '../../access.ts'
import { problem } from '../../problems.ts'
import { apiRoute } from '../route.ts'
import { planElectrode } from './plan-electrode.ts'

const stake = z.object({ percent: z.number(), distanceM: z.number() })
const layOut = z.object({
  name: z.enum(['short', 'full', 'equal-leads', 'right-angle']),
  words: z.string(),
  currentProbeM: z.number(),
  angleDeg: z.number(),
  stakes: z.array(stake),
  doubtPercent: z
    .number()
    .describe(
      'Expanded (k = 2), in % of the resistance, by distances and soil alone; the instrument comes on top.',
    ),
})
const surveyPlan = z.looseObject({
  ok: z.literal(true),
  sizeM: z.number(),
  currentProbeM: z.number(),
  wantedCurrentProbeM: z.number(),
  advised: z.enum(['short', 'full', 'another-method']),
  short: z.array(stake),
  full: z.array(stake),
  layOuts: z.array(layOut),
  wantedDoubtPercent: z.number(),
  leads: z.object({ currentM: z.number(), potentialM: z.number(), earthM: z.number() }),
  advice: z.array(z.string()),
  cautions: z.array(z.string()),
})
const remedy = z.object({
  name: z.string(),
  words: z.string(),
  resistanceOhm: z.number().nullable(),
  doubtPercent: z.number().nullable(),
  chance: z.number().nullable().describe('That it ends at or under the limit; an estimate not checked here.'),
  basis: z.string(),
  cautions: z.array(z.string()),
})
const causeFirst = z.object({
  code: z.string(),
  surveyRef: z.string(),
  testedAt: z.string(),
  message: z.string(),
  why: z.string(),
  advice: z.array(z.string()),
  cautions: z.array(z.string()),
})
const electrodePlan = z
  .object({
    plan: z.union([surveyPlan, z.object({ ok: z.literal(false), problem: z.string() })]),
    siteSoil: z
      .looseObject({
        upperOhmM: z.number(),
        lowerOhmM: z.number().nullable(),
        depthM: z.number().nullable(),
        relativeUncertainty: z.number(),
      })
      .nullable()
      .describe('From the four-point surveys of the site; null when there are none.'),
    newest: z
      .object({
        surveyRef: z.string(),
        testedAt: z.string(),
        resistanceOhm: z.number(),
        limitOhm: z.number().nullable(),
      })
      .nullable(),
    causesFirst: z
      .array(causeFirst)
      .describe('Open findings whose cause must be found before any remedy, gravest first.'),
    remedies: z
      .array(remedy)
      .describe('In the order to try; empty while the newest result is within the limit.'),
  })
  .meta({ id: 'ElectrodePlan' })

const getPlan = apiRoute({
  method: 'get',
  path: '/api/electrodes/:id/plan',
  summary: 'Where the stakes go for an electrode, and what would help where it is above its limit',
  query: z.strictObject({
    roomM: z.coerce
      .number({ error: 'Give metres above zero.' })
      .gt(0, { error: 'Give metres above zero.' })
      .lt(100_000, { error: 'Give metres, at most 100 000.' })
      .optional()
      .describe('The longest straight line there is room for, m.'),
  }),
  answers: { 200: { description: 'The plan', schema: electrodePlan } },
  problems: ['not-found', 'electrode-not-yours'],
  async handle({ c, deps, person, query }) {
    const file = await deps.ledger.readElectrodeFile(c.req.param('id')!)
    if (!file) return problem(c, 'not-found', { detail: 'No electrode of the register has this id.' })
    const barred = barToRead(person, file.record.electrode)
    return barred ? problem(c, barred) : c.json(await planElectrode(deps, file, query.roomM))
  },
})

export const planRoutes = [getPlan]
