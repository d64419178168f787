import type { Hono } from 'hono'
import type { MailChoice } from '../../../../shared-lib/ledger/kept/telling.ts'
import { barToFleetWide } from '../../access.ts'
import type { WebDeps } from '../../deps.ts'
import { addressFor, USUAL_MAIL } from '../../mail-settings.ts'
import type { WebEnv } from '../../web-env.ts'
import { type PageCall, queryPart, respond, respondProblem, signedIn } from '../respond.ts'
import { typedIn } from '../typed-in.ts'
import type { FormProblem } from '../view/error-summary.ts'
import { paths, withQuery } from '../view/paths.ts'
import { mailSettingsPage } from './mail-settings-page.ts'

/** `/mail-settings`: how one's own address is told of findings; an administrator's page for any address. */
export function registerMailSettings(app: Hono<WebEnv>, deps: WebDeps): void {
  app.get(paths.mailSettings, signedIn(deps, show))
  app.post(paths.mailSettings, signedIn(deps, save))
}

const OTHERS = 'Only an administrator of all sites may look at or change somebody else’s mail.'

async function show(call: PageCall): Promise<Response> {
  const { c, deps, person } = call
  const asked = queryPart(c, 'address')
  const whose = addressFor(person, asked)
  if (typeof whose === 'string') return respondProblem(c, deps, whose, OTHERS)
  if (asked !== undefined && !(await typedIn()).isMailAddress(asked))
    return answer(call, null, USUAL_MAIL, [
      { fieldId: 'address', message: 'Give a mail address such as ana@example.org.' },
    ])
  const choice = whose.address === null ? null : await deps.ledger.mailChoice(whose.address)
  return answer(call, whose.address, choice ?? USUAL_MAIL)
}

async function save(call: PageCall): Promise<Response> {
  const { c, deps, person } = call
  const form = await c.req.formData().catch(() => new FormData())
  const text = (name: string) => String(form.get(name) ?? '').trim()
  const whose = addressFor(person, text('address'))
  if (typeof whose === 'string') return respondProblem(c, deps, whose, OTHERS)
  const { isMailAddress, mailChoiceSchema } = await typedIn()
  if (whose.address === null || !isMailAddress(whose.address)) return answer(call, null, USUAL_MAIL)
  const typed = {
    rest: text('rest') || undefined,
    digestHourUtc: Number(text('digestHourUtc') || USUAL_MAIL.digestHourUtc),
    atOnceSites: text('atOnceSites')
      .split(/[\n,]/)
      .map((site) => site.trim())
      .filter((site) => site !== ''),
  }
  const read = mailChoiceSchema.safeParse(typed)
  if (read.success) {
    await deps.ledger.putMailChoice(whose.address, read.data)
    return c.redirect(withQuery(paths.mailSettings, { address: whose.address, saved: 'yes' }), 303)
  }
  const problems = read.error.issues.map((issue) => ({
    fieldId: String(issue.path[0] ?? 'rest'),
    message: WORDS[String(issue.path[0])] ?? 'Choose one of the two.',
  }))
  return answer(call, whose.address, { ...USUAL_MAIL, atOnceSites: typed.atOnceSites }, problems)
}

const WORDS: Record<string, string> = {
  rest: 'Choose one of the two.',
  digestHourUtc: 'Choose an hour of the list.',
  atOnceSites: 'Give at most 200 site ids of at most 100 characters, one a line.',
}

function answer(
  { c, person, frame }: PageCall,
  address: string | null,
  choice: MailChoice,
  problems: readonly FormProblem[] = [],
): Promise<Response> {
  const justSaved = problems.length === 0 && queryPart(c, 'saved') === 'yes'
  const forOthers = person.role === 'admin' && barToFleetWide(person) === null
  const body = mailSettingsPage({ address, choice, justSaved, forOthers, problems })
  const wrong = problems.length > 0
  return respond(c, frame, { title: 'Mail settings', body, wrong }, wrong ? 422 : 200)
}
