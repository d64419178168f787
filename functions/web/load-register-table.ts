import { type Person, seesSite } from '../../shared-lib/ports/identity.ts'
import {
  readCalibrations,
  readElectrodes,
  readLimits,
  readWorks,
} from '../../shared-lib/survey/read-register.ts'
import type { Refused } from '../../shared-lib/survey/refused.ts'
import { sourceOf } from '../../shared-lib/survey/source.ts'
import { barToFleetWide } from './access.ts'
import type { ReadingOptions } from './api/upload-options.ts'
import type { WebDeps } from './deps.ts'
import type { ProblemName } from './problems.ts'
import {
  type WriteTally,
  writeCalibrations,
  writeElectrodes,
  writeLimits,
  writeWorks,
} from './register-writes.ts'

export const REGISTER_TABLES = ['electrodes', 'limits', 'instruments', 'works'] as const
export type RegisterTable = (typeof REGISTER_TABLES)[number]

export interface Loaded extends WriteTally {
  refused: Refused[]
  ignoredColumns: string[]
  /** Surveys that had waited for one of the electrodes. */
  released?: number
  /** Electrodes of the table that are not in the register yet. */
  unknownElectrodes?: string[]
}
/** A site of the file that is not the person's: nothing was written. */
type OtherSite = { siteOf: string }
/** A table that counts for sites that are not the person's: nothing was written. */
type Barred = { barred: ProblemName }

/** The first electrode that belongs to a site the person does not see, or null. */
async function strange(deps: WebDeps, person: Person, electrodeIds: string[]): Promise<string | null> {
  if (person.sites === '*') return null
  const found = await deps.ledger.getElectrodes([...new Set(electrodeIds)])
  const mine = (id: string) => seesSite(person, found.get(id)?.electrode.siteId ?? '')
  return electrodeIds.find((id) => !mine(id)) ?? null
}

/**
 * Writes one table of the register from CSV, for the API and the page alike. A refused row is left out, the others stand; a file with
 * an electrode of a site that is not the person's writes nothing, and instruments, which belong to no site, are for who has all.
 */
export async function loadRegisterTable(
  deps: WebDeps,
  person: Person,
  table: RegisterTable,
  bytes: Uint8Array,
  options: ReadingOptions,
  validFrom: string | undefined,
): Promise<Loaded | OtherSite | Barred> {
  const source = sourceOf(bytes)
  if (table === 'electrodes') {
    const { items, refused, unknownColumns } = await readElectrodes(source, options)
    const other = items.find((e) => !seesSite(person, e.siteId))
    if (other) return { siteOf: other.electrodeId }
    const known =
      person.sites === '*' ? new Map() : await deps.ledger.getElectrodes(items.map((e) => e.electrodeId))
    const moved = [...known.values()].find((record) => !seesSite(person, record.electrode.siteId))
    if (moved) return { siteOf: moved.electrode.electrodeId }
    return { ...(await writeElectrodes(deps, items, validFrom)), refused, ignoredColumns: unknownColumns }
  }
  if (table === 'instruments') {
    const barred = barToFleetWide(person)
    if (barred) return { barred }
    const { items, refused, unknownColumns } = await readCalibrations(source, options)
    return { ...(await writeCalibrations(deps, items)), refused, ignoredColumns: unknownColumns }
  }
  const isLimits = table === 'limits'
  const limits = isLimits ? await readLimits(source, options) : null
  const works = isLimits ? null : await readWorks(source, options)
  const { refused, unknownColumns, items } = (limits ?? works)!
  const other = await strange(
    deps,
    person,
    items.map((entry) => entry.electrodeId),
  )
  if (other) return { siteOf: other }
  const { unknown, ...tally } = limits
    ? await writeLimits(deps, limits.items)
    : await writeWorks(deps, works!.items)
  return { ...tally, refused, ignoredColumns: unknownColumns, unknownElectrodes: unknown }
}
