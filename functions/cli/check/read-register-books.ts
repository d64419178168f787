import type { ReadOptions } from '../../../shared-lib/survey/file-plan.ts'
import {
  readCalibrations,
  readElectrodes,
  readLimits,
  readWorks,
} from '../../../shared-lib/survey/read-register.ts'
import type { Refused } from '../../../shared-lib/survey/refused.ts'
import type { InputFile } from '../files/input-file.ts'
import type { RegisterBooks } from './books.ts'

/** The register tables by the names given on the command line. */
export interface RegisterFiles {
  register: string
  instruments?: string
  limits?: string
  works?: string
}

export interface ReadBooks {
  register: RegisterBooks
  /** Rows of the tables that could not be taken, with the file they are in. */
  refused: { refused: Refused; table: string }[]
}

const grouped = <T>(items: readonly T[], key: (item: T) => string): Map<string, T[]> =>
  Map.groupBy(items, key)

/** Reads the tables into the books that surveys are judged by. An electrode given twice has its last words. */
export async function readRegisterBooks(
  files: RegisterFiles,
  open: (name: string) => Promise<InputFile>,
): Promise<ReadBooks> {
  const refused: ReadBooks['refused'] = []
  async function read<T>(
    name: string | undefined,
    reader: (source: () => AsyncIterable<Uint8Array>) => Promise<{ items: T[]; refused: Refused[] }>,
  ): Promise<T[]> {
    if (name === undefined) return []
    const input = await open(name)
    const table = await reader(input.open)
    for (const row of table.refused) refused.push({ refused: row, table: input.name })
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
    },
    refused,
  }
}

/** In which zone a time without offset is read: the electrode's. */
export function zonesOf(register: RegisterBooks): Pick<ReadOptions, 'timeZoneOf'> {
  return { timeZoneOf: (electrodeId) => register.electrodes.get(electrodeId)?.timeZone }
}
