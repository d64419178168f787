import { type BooksReader, createBooksReader } from '../../shared-lib/ledger/books.ts'
import type { Person } from '../../shared-lib/ports/identity.ts'
import { type Survey, subjectOf } from '../../shared-lib/survey/survey.ts'
import { barToHandIn } from './access.ts'
import type { WebDeps } from './deps.ts'
import type { ProblemName } from './problems.ts'

/** Longer than any id that is taken; asking the ledger for one would be in vain. */
const MOST_ID_CHARACTERS = 100

const idIn = (value: unknown): string | null => {
  const id = typeof value === 'string' ? value.trim() : ''
  return id !== '' && id.length <= MOST_ID_CHARACTERS ? id : null
}

/** The zone in which the site's people write times: the register's, of the electrode or of any electrode of the site. */
export async function zoneOf(
  deps: WebDeps,
  json: unknown,
  books: BooksReader = createBooksReader(deps.ledger),
): Promise<string | undefined> {
  const given = (json ?? {}) as { electrodeId?: unknown; siteId?: unknown }
  const electrodeId = idIn(given.electrodeId)
  if (electrodeId) return (await books.electrodeOf(electrodeId))?.electrode.timeZone
  const siteId = idIn(given.siteId)
  if (!siteId) return undefined
  const { items } = await deps.ledger.listElectrodes({ siteId, limit: 1 })
  return items[0]?.electrode.timeZone
}

/** Why this person may not hand this survey in; null = they may. An electrode nobody knows yet belongs to no site. */
export async function barToSurvey(
  deps: WebDeps,
  person: Person,
  survey: Survey,
  books: BooksReader = createBooksReader(deps.ledger),
): Promise<ProblemName | null> {
  const subject = subjectOf(survey)
  if (subject?.kind === 'electrode') {
    const record = await books.electrodeOf(subject.id)
    return barToHandIn(person, record?.electrode.siteId ?? null)
  }
  return barToHandIn(person, subject?.kind === 'site' ? subject.id : null)
}
