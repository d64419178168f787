import { createHash, timingSafeEqual } from 'node:crypto'
import type { Hono } from 'hono'
import type { ElectrodeRecord } from '../../shared-lib/ledger/kept/register.ts'
import type { RetestRequest } from '../../shared-lib/ledger/retest.ts'
import type { Person } from '../../shared-lib/ports/identity.ts'
import { FINDING_TITLES } from '../../shared-lib/survey/finding-words.ts'
import type { WebDeps } from './deps.ts'
import { answerNotFound } from './failures.ts'
import { visibleDue } from './visible-lists.ts'
import type { WebEnv } from './web-env.ts'

/**
 * A calendar of due dates under a link of its own, because calendar programs cannot sign in. The link shows due dates and nothing
 * else, is made anew at a press, and the old one then leads nowhere; it has the rights that its person had at the last sign-in.
 */

const MONTHS_AHEAD = 24
const READ_AT_ONCE = 200
/** A calendar with more entries helps nobody, and a feed is fetched again and again. */
const MOST_EVENTS = 2000
const DAY_MS = 86_400_000
/** A link outlives the last sign-in of its person by this. House rule, no source. */
const GOOD_FOR_MS = 90 * DAY_MS

const digestOf = (secret: string): string => createHash('sha256').update(secret).digest('base64url')

/** A fresh link for this person; a link made before is good for nothing from now on. */
export async function newCalendarLink(deps: WebDeps, person: Person): Promise<string> {
  const secret = `${deps.newId()}${deps.newId()}`
  await deps.ledger.putFeed({
    person,
    secretDigest: digestOf(secret),
    madeAt: new Date(deps.clock.nowMs()).toISOString(),
  })
  return `${deps.settings.baseUrl}/calendar/${Buffer.from(person.id).toString('base64url')}.${secret}.ics`
}

/**
 * At each sign-in the link of the person gets the role and the sites that they have now: it shows no more than they may see. Who signs
 * in no more has no link any more, some time after.
 */
export async function renewCalendarRights(
  deps: Pick<WebDeps, 'ledger' | 'clock'>,
  person: Person,
): Promise<void> {
  const feed = await deps.ledger.getFeed(person.id)
  if (!feed) return
  await deps.ledger.putFeed({ ...feed, person, signedInAt: new Date(deps.clock.nowMs()).toISOString() })
}

/** The person a link was made for, or null: a wrong secret, or its person has not signed in for long. */
async function personOf(deps: WebDeps, name: string): Promise<Person | null> {
  const parts = /^([\w-]{1,400})\.([\w-]{20,200})\.ics$/.exec(name)
  if (!parts) return null
  const personId = Buffer.from(parts[1]!, 'base64url').toString()
  const feed = personId === '' ? null : await deps.ledger.getFeed(personId)
  if (!feed) return null
  const signedInMs = Date.parse(feed.signedInAt ?? feed.madeAt)
  if (deps.clock.nowMs() - signedInMs > GOOD_FOR_MS) return null
  const asked = Buffer.from(digestOf(parts[2]!))
  const right = Buffer.from(feed.secretDigest)
  return asked.length === right.length && timingSafeEqual(asked, right) ? feed.person : null
}

/** `GET /calendar/<person>.<secret>.ics`: due dates of the coming two years and all that is overdue. */
export function mountCalendarFeed(app: Hono<WebEnv>, deps: WebDeps): void {
  app.get('/calendar/:name', async (c) => {
    const person = await personOf(deps, c.req.param('name'))
    if (!person) return answerNotFound(c, deps)
    const body = await calendarOf(await dueFor(deps, person), deps)
    return c.body(body, 200, {
      'Content-Type': 'text/calendar; charset=utf-8',
      'Cache-Control': 'private, max-age=3600',
      'X-Content-Type-Options': 'nosniff',
    })
  })
}

async function dueFor(deps: WebDeps, person: Person): Promise<ElectrodeRecord[]> {
  const today = new Date(deps.clock.nowMs())
  const last = new Date(Date.UTC(today.getUTCFullYear(), today.getUTCMonth() + MONTHS_AHEAD, 1))
  const records: ElectrodeRecord[] = []
  let cursor: string | null | undefined
  while (cursor !== null && records.length < MOST_EVENTS) {
    const page = await visibleDue(deps, person, {
      limit: READ_AT_ONCE,
      toMonth: last.toISOString().slice(0, 7),
      ...(cursor ? { cursor } : {}),
    })
    records.push(...(page?.items ?? []))
    cursor = page?.next ?? null
  }
  return records
}

async function calendarOf(records: readonly ElectrodeRecord[], deps: WebDeps): Promise<string> {
  const { default: ical } = await import('ical-generator')
  const calendar = ical({
    name: `Earth tests due, ${deps.settings.operatorName}`,
    prodId: { company: 'stakeline', product: 'due' },
  })
  for (const { electrode: e, dueOn, lastTestedAt, retest } of records) {
    if (dueOn === undefined) continue
    // One entry an electrode, for ever: a later test moves it, and its number grows with the day of that test.
    const testedDay = lastTestedAt === undefined ? 0 : Math.floor(Date.parse(lastTestedAt) / DAY_MS)
    calendar.createEvent({
      id: `due-${createHash('sha256').update(e.electrodeId).digest('hex').slice(0, 32)}@stakeline`,
      sequence: Math.max(0, testedDay, retest ? Math.floor(Date.parse(retest.askedOn) / DAY_MS) : 0),
      stamp: new Date(lastTestedAt ?? `${dueOn}T00:00:00Z`),
      start: new Date(`${dueOn.slice(0, 10)}T00:00:00Z`),
      allDay: true,
      summary: `Earth ${retest ? 'retest' : 'test'} due: ${e.electrodeId} at ${e.siteId}`,
      ...(retest ? { description: retestWords(retest) } : {}),
      url: `${deps.settings.baseUrl}/electrodes/${encodeURIComponent(e.electrodeId)}`,
    })
  }
  return calendar.toString()
}

const retestWords = ({ reason, askedOn }: RetestRequest): string =>
  `Asked for on ${askedOn} because of: ${FINDING_TITLES[reason].toLowerCase()}. Same line, same stakes as that test.`
