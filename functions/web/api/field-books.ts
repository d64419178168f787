import * as z from 'zod'
import { inParallel } from '../../../shared-lib/ledger/parallel.ts'
import { seesSite } from '../../../shared-lib/ports/identity.ts'
import type { Calibration } from '../../../shared-lib/survey/register.ts'
import { calibrationSchema, electrodeSchema, limitSchema } from '../../../shared-lib/survey/schema.ts'
import type { WebDeps } from '../deps.ts'
import { problem } from '../problems.ts'
import { visibleElectrodesOfSite } from '../visible-lists.ts'
import { askedId } from './asked-id.ts'
import { apiRoute } from './route.ts'

/** More electrodes than a site has; what is over it is left out and said. */
const MOST_ELECTRODES = 1000
/** Limits are kept with their electrode: so many are read at the same time. */
const AT_ONCE = 8

const fieldBooks = z
  .object({
    siteId: z.string(),
    electrodes: z.array(electrodeSchema).describe('The words in force now.'),
    limits: z.array(limitSchema),
    calibrations: z.array(calibrationSchema).describe('The newest of each instrument.'),
    soil: z
      .object({
        upperOhmM: z.number(),
        lowerOhmM: z.number(),
        depthM: z.number(),
        relativeUncertainty: z.number(),
      })
      .optional()
      .describe('Two layers, from the four-point surveys of the site; absent without any.'),
    complete: z.boolean().describe(`False when the site has more than ${MOST_ELECTRODES} electrodes.`),
  })
  .meta({ id: 'FieldBooks' })

function newestOfEach(calibrations: readonly Calibration[]): Calibration[] {
  const newest = new Map<string, Calibration>()
  for (const c of calibrations) {
    const before = newest.get(c.instrumentId)
    if (!before || before.calibratedOn < c.calibratedOn) newest.set(c.instrumentId, c)
  }
  return [...newest.values()]
}

async function siteOf(deps: WebDeps, electrodeId: string | undefined): Promise<string | undefined> {
  return electrodeId === undefined
    ? undefined
    : (await deps.ledger.getElectrode(electrodeId))?.electrode.siteId
}

const getFieldBooks = apiRoute({
  method: 'get',
  path: '/api/field-books',
  summary: 'What a phone needs to judge surveys of one site without a network',
  query: z.strictObject({
    site: askedId,
    electrode: askedId.describe('Instead of the site: the site of this electrode.'),
  }),
  answers: {
    200: { description: 'Electrodes you may see, their limits, and the instruments', schema: fieldBooks },
  },
  problems: ['not-found'],
  async handle({ c, deps, person, query }) {
    const siteId = query.site ?? (await siteOf(deps, query.electrode))
    if (siteId === undefined)
      return problem(c, 'not-found', { detail: 'Name a site, or an electrode of the register.' })
    if (!seesSite(person, siteId)) return problem(c, 'site-not-allowed')
    const { electrodes, complete } = await visibleElectrodesOfSite(deps, person, siteId, MOST_ELECTRODES)
    const limits = await inParallel(electrodes, AT_ONCE, (e) => deps.ledger.getLimits(e.electrodeId))
    const soil = (await deps.ledger.getSiteHeader(siteId))?.soil
    const calibrations = newestOfEach(await deps.ledger.listCalibrations())
    return c.json({
      siteId,
      electrodes,
      limits: limits.flat(),
      calibrations,
      ...(soil === undefined ? {} : { soil }),
      complete,
    })
  },
})

export const fieldBookRoutes = [getFieldBooks]
