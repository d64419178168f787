import { getCheaply } from './get-cheaply.ts'
import type { ElectrodeBooks } from './kept/register.ts'
import type { SiteHeader } from './kept/site.ts'
import { electrodePk, PREFIX, registerKey, siteHeaderKey } from './keys.ts'
import type { Ledger } from './ledger.ts'
import { inParallel } from './parallel.ts'
import { recordOf } from './register.ts'
import { keyText, type Row } from './rows.ts'
import type { TableAccess } from './table-access.ts'

type ElectrodeBooksArea = Pick<Ledger, 'getManyBooks' | 'getBooksAtSite'>
const READ_AT_ONCE = 8
/** Electrodes whose site is kept in mind: some hundred kilobytes. */
const MOST_GUESSES = 5000

/** What surveys are judged by, where a moment's age does no harm: compare sees by the fingerprint when it was too old. */
export function electrodeBooksArea(table: TableAccess): ElectrodeBooksArea {
  /** Where each electrode was when it was read last, the latest at the end: a guess that saves waiting for one read after the other. */
  const guesses = new Map<string, string>()
  const guess = (electrodeId: string, siteId: string) => {
    guesses.delete(electrodeId)
    guesses.set(electrodeId, siteId)
    if (guesses.size > MOST_GUESSES) guesses.delete(guesses.keys().next().value!)
  }

  async function withLimits(register: Row): Promise<ElectrodeBooks | null> {
    const record = recordOf(register)
    if (register.limits === false) return { record, limits: [], rev: Number(register.rev) }
    // Read anew where there are limits, so that they and their revision belong together: they are neighbours in the partition.
    const key = registerKey(record.electrode.electrodeId)
    const between: [string, string] = [PREFIX.limit, key.sk]
    const rows = await table.queryAll({ partition: electrodePk(record.electrode.electrodeId), between })
    const now = rows.find((r) => r.sk === key.sk)
    if (!now) return null
    const limits = rows
      .filter((r) => r.sk.startsWith(PREFIX.limit))
      .map((r) => r.d as ElectrodeBooks['limits'][number])
    return { record: recordOf(now), limits, rev: Number(now.rev) }
  }

  const headerIn = (row: Row | null | undefined): SiteHeader | null =>
    (row?.d as SiteHeader | undefined) ?? null

  return {
    async getManyBooks(electrodeIds) {
      const found = await getCheaply(table, electrodeIds.map(registerKey))
      const books = await inParallel([...found.values()], READ_AT_ONCE, withLimits)
      return new Map(books.filter((b) => b !== null).map((b) => [b.record.electrode.electrodeId, b] as const))
    },

    async getBooksAtSite(electrodeId) {
      const key = registerKey(electrodeId)
      const guessed = guesses.get(electrodeId)
      const both = guessed ? [key, siteHeaderKey(guessed)] : [key]
      const found = await table.getMany(both, { strong: false })
      const register = found.get(keyText(key)) ?? (await table.get(key))
      const books = register && (await withLimits(register))
      if (!books) return null
      const { siteId } = books.record.electrode
      if (siteId === '') return { books, header: null }
      if (guessed === siteId) return { books, header: headerIn(found.get(keyText(siteHeaderKey(siteId)))) }
      guess(electrodeId, siteId)
      return { books, header: headerIn(await table.get(siteHeaderKey(siteId), { strong: false })) }
    },
  }
}
