import type { Hono } from 'hono'
import { type Person, seesSite } from '../../../../shared-lib/ports/identity.ts'
import type { Calibration, Electrode, Limit, Work } from '../../../../shared-lib/survey/register.ts'
import {
  CALIBRATION_FIELDS,
  ELECTRODE_FIELDS,
  LIMIT_FIELDS,
  WORK_FIELDS,
} from '../../../../shared-lib/survey/register-fields.ts'
import { barToFleetWide, barToRegister } from '../../access.ts'
import type { WebDeps } from '../../deps.ts'
import type { ProblemName } from '../../problems.ts'
import { writeCalibrations, writeElectrodes, writeLimits, writeWorks } from '../../register-writes.ts'
import type { WebEnv } from '../../web-env.ts'
import { type PageCall, queryPart, respond, respondProblem, signedIn } from '../respond.ts'
import { typedIn } from '../typed-in.ts'
import { html } from '../view/html.ts'
import { paths } from '../view/paths.ts'
import { entryForm, type Fields, readEntry, type Typed, typedOf } from './entry-form.ts'

type Readers = Awaited<ReturnType<typeof typedIn>>

/** One kind of entry that an administrator may add or change. */
interface Book {
  path: string
  title: string
  /** What stands between the title and whose entry it is. */
  of?: string
  about: string
  fields: Fields
  needed: readonly string[]
  /** Fixed while an entry of the store is changed, or added to something that is there. */
  fixed: readonly string[]
  section: string
  /** It counts for every site: for who has all sites. */
  fleetWide?: true
  /** What the form begins with, from the address. Null: no such thing. */
  begin(call: PageCall): Promise<Typed | null>
  parse(
    entry: unknown,
    readers: Readers,
  ): { ok: true; item: unknown } | { ok: false; problems: { path: PropertyKey[]; problem: string }[] }
  /** Why this person may not write this entry, where more is asked than the role. */
  bar?(call: PageCall, item: never): Promise<ProblemName | null>
  write(deps: WebDeps, item: never): Promise<unknown>
  /** Where the entry is seen once it is written. */
  seen(item: never): string
}

function barToBook(book: Book, person: Person): ProblemName | null {
  if (person.role !== 'admin') return 'role-not-allowed'
  return book.fleetWide ? barToFleetWide(person) : null
}

/** Who may add to an electrode's books: whoever may change the register of its site. */
async function barToBooks({ deps, person }: PageCall, electrodeId: string): Promise<ProblemName | null> {
  const record = await deps.ledger.getElectrode(electrodeId)
  return record ? barToRegister(person, record.electrode.siteId) : 'not-found'
}

const fromElectrode = async (call: PageCall): Promise<Typed | null> => {
  const id = queryPart(call.c, 'electrode')
  if (id === undefined) return {}
  const barred = await barToBooks(call, id)
  // An id that is not there is told when the form is sent, beside its field.
  return barred === null || barred === 'not-found' ? { electrodeId: id } : null
}

const BOOKS: Book[] = [
  {
    path: paths.editElectrode,
    title: 'Electrode',
    about:
      'New words count for tests from now on; earlier tests keep the words they were judged by. Surveys that are held for this id are taken in.',
    fields: ELECTRODE_FIELDS,
    needed: ['electrodeId', 'siteId', 'kind'],
    fixed: ['electrodeId'],
    section: paths.electrodes,
    async begin({ c, deps, person }) {
      const id = queryPart(c, 'id')
      if (id === undefined) return {}
      const record = await deps.ledger.getElectrode(id)
      // An id that is only held so far is where a new entry begins.
      if (!record) return { electrodeId: id }
      return seesSite(person, record.electrode.siteId) ? typedOf(record.electrode) : null
    },
    parse: (entry, readers) => readers.parseElectrode(entry),
    async bar({ deps, person }, item: Electrode) {
      const before = await deps.ledger.getElectrode(item.electrodeId)
      return (
        barToRegister(person, item.siteId) ?? (before ? barToRegister(person, before.electrode.siteId) : null)
      )
    },
    write: (deps, item: Electrode) => writeElectrodes(deps, [item]),
    seen: (item: Electrode) => paths.electrode(item.electrodeId),
  },
  {
    path: paths.addLimit,
    title: 'Limit',
    of: ' of',
    about:
      'Each limit is judged for itself; the newest in force at a test counts. The same purpose, connection and date replaces what is there.',
    fields: LIMIT_FIELDS,
    needed: ['electrodeId', 'purpose', 'limitOhm'],
    fixed: ['electrodeId'],
    section: paths.electrodes,
    begin: fromElectrode,
    parse: (entry, readers) => readers.parseLimit(entry),
    bar: (call, item: Limit) => barToBooks(call, item.electrodeId),
    write: (deps, item: Limit) => writeLimits(deps, [item]),
    seen: (item: Limit) => paths.electrode(item.electrodeId),
  },
  {
    path: paths.addWork,
    title: 'Work done',
    of: ' on',
    about:
      'A repair, an extension or a replacement starts a new baseline: later tests are not compared with those before it.',
    fields: WORK_FIELDS,
    needed: ['electrodeId', 'doneOn', 'what'],
    fixed: ['electrodeId'],
    section: paths.electrodes,
    begin: fromElectrode,
    parse: (entry, readers) => readers.parseWork(entry),
    bar: (call, item: Work) => barToBooks(call, item.electrodeId),
    write: (deps, item: Work) => writeWorks(deps, [item]),
    seen: (item: Work) => paths.electrode(item.electrodeId),
  },
  {
    path: paths.addCalibration,
    title: 'Calibration',
    of: ' of',
    about:
      'It counts for every test since that day: the electrodes tested with the instrument are judged anew.',
    fields: CALIBRATION_FIELDS,
    needed: ['instrumentId', 'calibratedOn'],
    fixed: ['instrumentId'],
    section: paths.instruments,
    async begin({ c }): Promise<Typed> {
      const id = queryPart(c, 'instrument')
      return id === undefined ? {} : { instrumentId: id }
    },
    parse: (entry, readers) => readers.parseCalibration(entry),
    fleetWide: true,
    write: (deps, item: Calibration) => writeCalibrations(deps, [item]),
    seen: (item: Calibration) => paths.instrument(item.instrumentId),
  },
]

/** Forms of the register, for administrators: the same entries and rules as the API's. */
export function registerBooks(app: Hono<WebEnv>, deps: WebDeps): void {
  for (const book of BOOKS) {
    app.get(
      book.path,
      signedIn(deps, async (call) => {
        const barred = barToBook(book, call.person)
        if (barred) return respondProblem(call.c, deps, barred)
        const typed = await book.begin(call)
        return typed ? show(call, book, typed, []) : respondProblem(call.c, deps, 'site-not-allowed')
      }),
    )
    app.post(
      book.path,
      signedIn(deps, (call) => save(call, book)),
    )
  }
}

function show(
  { c, frame }: PageCall,
  book: Book,
  typed: Typed,
  problems: Parameters<typeof entryForm>[0]['problems'],
): Promise<Response> {
  const begun = book.fixed.filter((key) => typed[key])
  const body = html`<h1>${book.title}${begun.map((key) => `${book.of ?? ''} ${typed[key]}`)}</h1><p>${book.about}</p>
${entryForm({ fields: book.fields, needed: book.needed, fixed: problems.length === 0 ? begun : [], typed, problems, action: book.path, button: 'Save' })}`
  const wrong = problems.length > 0
  return respond(
    c,
    frame,
    { title: book.title, section: book.section, body, wrong, typedInto: true },
    wrong ? 422 : 200,
  )
}

async function save(call: PageCall, book: Book): Promise<Response> {
  const { c, deps, person } = call
  const closed = barToBook(book, person)
  if (closed) return respondProblem(c, deps, closed)
  const data = await c.req.formData().catch(() => null)
  if (!data) return respondProblem(c, deps, 'not-readable')
  const { typed, entry, problems } = readEntry(data, book.fields, book.needed)
  if (problems.length > 0) return show(call, book, typed, problems)
  const parsed = book.parse(entry, await typedIn())
  if (!parsed.ok)
    return show(
      call,
      book,
      typed,
      parsed.problems.map((p) => ({ fieldId: String(p.path[0] ?? book.needed[0]), message: p.problem })),
    )
  const item = parsed.item as never
  const barred = await book.bar?.(call, item)
  if (barred === 'not-found')
    return show(call, book, typed, [
      {
        fieldId: 'electrodeId',
        message: 'No electrode of the register has this id. Check it, or register it first.',
      },
    ])
  if (barred) return respondProblem(c, deps, barred)
  await book.write(deps, item)
  return c.redirect(book.seen(item), 303)
}
