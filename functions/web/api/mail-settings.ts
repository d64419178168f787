import type { Context } from 'hono'
import * as z from 'zod'
import type { Person } from '../../../shared-lib/ports/identity.ts'
import { mailChoiceSchema } from '../mail-choice-schema.ts'
import { addressFor, USUAL_MAIL } from '../mail-settings.ts'
import { problem } from '../problems.ts'
import type { WebEnv } from '../web-env.ts'
import { apiRoute } from './route.ts'

/** How somebody wants to be told: at once or once a day. */

const asked = z.strictObject({
  address: z
    .email()
    .optional()
    .describe('Whose; your own when left out. Another than your own: administrators of all sites only.'),
})
const settings = z
  .object({
    address: z.string(),
    urgent: z.literal('at-once'),
    rest: z.enum(['as-it-comes', 'daily']),
    digestHourUtc: z.number().int(),
    atOnceSites: z.array(z.string()),
  })
  .meta({ id: 'MailSettings' })

/** The address, or the answer that says why there is none. */
function addressOf(c: Context<WebEnv>, person: Person, wanted: string | undefined): string | Response {
  const whose = addressFor(person, wanted)
  if (typeof whose === 'string')
    return problem(c, whose, {
      detail: "Only an administrator of all sites may look at or change somebody else's mail.",
    })
  return (
    whose.address ??
    problem(c, 'not-found', { detail: 'Your sign-in carries no mail address, so no mail comes to you.' })
  )
}

const getSettings = apiRoute({
  method: 'get',
  path: '/api/mail-settings',
  summary: 'How somebody is told of findings: as they come, or once a day',
  query: asked,
  answers: { 200: { description: 'As chosen, or as it is usual', schema: settings } },
  problems: ['not-found'],
  async handle({ c, deps, person, query }) {
    const address = addressOf(c, person, query.address)
    if (address instanceof Response) return address
    const choice = (await deps.ledger.mailChoice(address)) ?? USUAL_MAIL
    return c.json({ address, urgent: 'at-once', ...choice })
  },
})

const putSettings = apiRoute({
  method: 'put',
  path: '/api/mail-settings',
  summary: 'Choose how somebody is told; what is urgent comes at once whatever is chosen',
  query: asked,
  json: mailChoiceSchema.meta({ id: 'MailChoice' }),
  answers: { 200: { description: 'Chosen', schema: settings } },
  problems: ['not-found'],
  async handle({ c, deps, person, query, body }) {
    const address = addressOf(c, person, query.address)
    if (address instanceof Response) return address
    await deps.ledger.putMailChoice(address, body)
    return c.json({ address, urgent: 'at-once', ...body })
  },
})

export const mailSettingsRoutes = [getSettings, putSettings]
