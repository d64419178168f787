import type { Ledger } from '../../../../shared-lib/ledger/ledger.ts'
import type { Person } from '../../../../shared-lib/ports/identity.ts'
import { plainHeading } from '../../../../shared-lib/survey/catalogue.ts'
import { type ColumnMap, parseColumnMap } from '../../../../shared-lib/survey/column-map.ts'

/** Name under which what a person pointed out is kept among the column maps. */
const nameFor = (person: Person): string => `columns of ${person.id}`.slice(0, 100)

/** Keeps what a sender pointed out, for the next file. */
export async function keepOwnMap(ledger: Ledger, person: Person, map: ColumnMap): Promise<void> {
  await ledger.putColumnMap(nameFor(person), map)
}

/**
 * What this sender pointed out last time, where it fits a file: every heading it speaks of stands there. Null otherwise: a map is
 * never stretched over another kind of file.
 */
export async function ownMapFor(
  ledger: Pick<Ledger, 'listColumnMaps'>,
  person: Person,
  headings: readonly string[],
): Promise<ColumnMap | null> {
  const saved = (await ledger.listColumnMaps()).find(({ name }) => name === nameFor(person))
  const parsed = saved ? parseColumnMap(saved.map) : null
  if (!parsed?.ok) return null
  const there = new Set(headings.map(plainHeading))
  const fits = parsed.map.columns.every((c) => there.has(plainHeading(c.heading)))
  return fits && parsed.map.columns.length > 0 ? parsed.map : null
}
