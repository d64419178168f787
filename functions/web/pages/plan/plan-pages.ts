import type { Hono } from 'hono'
import { readNumber } from '../../../../shared-lib/survey/numbers.ts'
import { ELECTRODE_FIELDS } from '../../../../shared-lib/survey/register-fields.ts'
import { barToRead } from '../../access.ts'
import type { WebDeps } from '../../deps.ts'
import type { WebEnv } from '../../web-env.ts'
import { office } from '../office.ts'
import { type PageCall, queryPart, respond, respondProblem, signedIn } from '../respond.ts'
import type { FormProblem } from '../view/error-summary.ts'
import { paths } from '../view/paths.ts'

/** `/plan?electrode=ID&room=20`. */
export function registerPlan(app: Hono<WebEnv>, deps: WebDeps): void {
  app.get(paths.plan, signedIn(deps, show))
}

async function show(call: PageCall): Promise<Response> {
  const { c, deps, person, frame } = call
  const electrodeId = queryPart(c, 'electrode')
  if (electrodeId === undefined) return c.redirect(paths.electrodes, 303)
  const file = await deps.ledger.readElectrodeFile(electrodeId)
  if (!file) return respondProblem(c, deps, 'not-found', 'No electrode of the register has this id.')
  const { electrode } = file.record
  const barred = barToRead(person, electrode)
  if (barred) return respondProblem(c, deps, barred)
  const room = queryPart(c, 'room')
  const read = roomFrom(room)
  const problems: FormProblem[] =
    read === null ? [{ fieldId: 'room', message: 'Give the room as metres above zero, such as 25.' }] : []
  const { planElectrode, planPage } = await office()
  const found = await planElectrode(deps, file, read ?? undefined)
  return respond(
    c,
    frame,
    {
      title: `Plan for ${electrodeId}`,
      wrong: problems.length > 0,
      section: paths.electrodes,
      body: planPage({ electrode, found, room, problems }),
    },
    problems.length > 0 ? 422 : 200,
  )
}

/** Undefined when nothing was typed, null when it is no distance. */
function roomFrom(text: string | undefined): number | undefined | null {
  if (text === undefined) return undefined
  const cell = readNumber(text, ELECTRODE_FIELDS.usualCurrentProbeM)
  return cell.kind === 'value' ? cell.value : null
}
