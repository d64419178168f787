import type { Ledger } from '../../../../shared-lib/ledger/ledger.ts'
import type { Person } from '../../../../shared-lib/ports/identity.ts'
import { plainHeading } from '../../../../shared-lib/survey/catalogue.ts'
import { parseColumnMap } from '../../../../shared-lib/survey/column-map.ts'
import type { ReadOptions } from '../../../../shared-lib/survey/file-plan.ts'
import { ownMapName } from '../../own-map-name.ts'

/** Keeps what a sender pointed out and declared, for the next file of the same kind. */
export async function keepOwnMap(ledger: Ledger, person: Person, options: ReadOptions): Promise<void> {
  const { columnMap, decimalSign, datePattern } = options
  if (!columnMap || columnMap.columns.length === 0) return
  await ledger.putColumnMap(ownMapName(person), {
    ...columnMap,
    ...(decimalSign ? { decimalSign } : {}),
    ...(datePattern ? { datePattern } : {}),
  })
}

/**
 * What this sender pointed out last time, where it fits a file: every heading it speaks of stands there. Null otherwise: a map is
 * never stretched over another kind of file.
 */
export async function ownOptionsFor(
  ledger: Pick<Ledger, 'listColumnMaps'>,
  person: Person,
  headings: readonly string[],
): Promise<Pick<ReadOptions, 'columnMap' | 'decimalSign' | 'datePattern'> | null> {
  const saved = (await ledger.listColumnMaps()).find(({ name }) => name === ownMapName(person))
  const parsed = saved ? parseColumnMap(saved.map) : null
  if (!parsed?.ok) return null
  const there = new Set(headings.map(plainHeading))
  const fits = parsed.map.columns.every((c) => there.has(plainHeading(c.heading)))
  if (!fits || parsed.map.columns.length === 0) return null
  const { columns, decimalSign, datePattern } = parsed.map
  return {
    columnMap: { columns },
    ...(decimalSign ? { decimalSign } : {}),
    ...(datePattern ? { datePattern } : {}),
  }
}
