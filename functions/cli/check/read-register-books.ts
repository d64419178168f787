import type { ReadOptions } from '../../../shared-lib/survey/file-plan.ts'
import {
  readCalibrations,
  readElectrodes,
  readLimits,
  readWorks,
} from '../../../shared-lib/survey/read-register.ts'
import type { Refused } from '../../../shared-lib/survey/refused.ts'
import type { OpenSource } from '../../../shared-lib/survey/source.ts'
import { CannotRun } from '../exit-status.ts'
import type { InputFile } from '../files/input-file.ts'
import { ignoredColumnsLine, printable } from '../terminal/words.ts'
import type { RegisterBooks } from './books.ts'

/** The register tables by the names given on the command line. */
export interface RegisterFiles {
  register: string
  instruments?: string
  limits?: string
  works?: string
}

/** What a reader of a table gives. */
interface ReadTable<T> {
  items: T[]
  refused: Refused[]
  unknownColumns: string[]
}

export interface ReadBooks {
  register: RegisterBooks
  /** Rows of the tables that could not be taken, with the file they are in. */
  refused: { refused: Refused; table: string }[]
}

const grouped = <T>(items: readonly T[], key: (item: T) => string): Map<string, T[]> =>
  Map.groupBy(items, key)

/**
 * Reads the tables into the books that surveys are judged by. A refused row is left out, the others stand; a table refused as a
 * whole throws {@link CannotRun}, because every survey would be held or judged by other limits than the operator's.
 */
export async function readRegisterBooks(
  files: RegisterFiles,
  {
    open,
    tell,
    nowMs,
  }: { open(name: string): Promise<InputFile>; tell(message: string): void; nowMs: number },
): Promise<ReadBooks> {
  const refused: ReadBooks['refused'] = []
  async function read<T>(
    name: string | undefined,
    reader: (source: OpenSource) => Promise<ReadTable<T>>,
  ): Promise<T[]> {
    if (name === undefined) return []
    const input = await open(name)
    const table = await reader(input.open)
    for (const row of table.refused) {
      if (row.row === null) throw new CannotRun(`${printable(input.name)} cannot be used. ${row.problem}`)
      refused.push({ refused: row, table: input.name })
    }
    const ignored = ignoredColumnsLine(input.name, table.unknownColumns)
    if (ignored) tell(ignored)
    return table.items
  }
  const electrodes = await read(files.register, (source) => readElectrodes(source))
  const limits = await read(files.limits, (source) => readLimits(source))
  const calibrations = await read(files.instruments, (source) => readCalibrations(source))
  const works = await read(files.works, (source) => readWorks(source))
  return {
    register: {
      electrodes: new Map(electrodes.map((e) => [e.electrodeId, e])),
      limits: grouped(limits, (l) => l.electrodeId),
      calibrations: grouped(calibrations, (c) => c.instrumentId),
      works: grouped(works, (w) => w.electrodeId),
      soils: new Map(),
      readAtMs: nowMs,
    },
    refused,
  }
}

/** In which zone a time without offset is read: the electrode's; of a site that of its first electrode (by id) which has one. */
export function zonesOf(register: RegisterBooks): Pick<ReadOptions, 'timeZoneOf' | 'timeZoneOfSite'> {
  const ofSites = new Map<string, string>()
  const inOrder = [...register.electrodes.values()].sort((a, b) => (a.electrodeId < b.electrodeId ? -1 : 1))
  for (const { siteId, timeZone } of inOrder)
    if (timeZone && !ofSites.has(siteId)) ofSites.set(siteId, timeZone)
  return {
    timeZoneOf: (electrodeId) => register.electrodes.get(electrodeId)?.timeZone,
    timeZoneOfSite: (siteId) => ofSites.get(siteId),
  }
}
