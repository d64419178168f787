import type { Person } from '../../../shared-lib/ports/identity.ts'
import {
  calibrationsCsv,
  electrodesCsv,
  limitsCsv,
  worksCsv,
} from '../../../shared-lib/survey/write-register.ts'
import type { WebDeps } from '../deps.ts'
import { electrodesOf } from './visible-electrodes.ts'

type Kept = Pick<WebDeps, 'ledger'>
type Narrow = { site?: string }

const AT_ONCE = 16

/** Electrodes that a person may see, in the words of today. */
export async function* electrodesExport(
  deps: Kept,
  person: Person,
  { site }: Narrow,
): AsyncGenerator<string> {
  yield electrodesCsv.header()
  for await (const records of electrodesOf(deps, person, site))
    yield records.map((r) => electrodesCsv.row(r.electrode)).join('')
}

/** What is kept under each electrode a person may see, a few electrodes at a time. */
async function* underElectrodes(
  deps: Kept,
  person: Person,
  { site }: Narrow,
  rowsOf: (electrodeId: string) => Promise<string[]>,
): AsyncGenerator<string> {
  for await (const records of electrodesOf(deps, person, site))
    for (let at = 0; at < records.length; at += AT_ONCE) {
      const some = records.slice(at, at + AT_ONCE).map((r) => rowsOf(r.electrode.electrodeId))
      yield (await Promise.all(some)).flat().join('')
    }
}

export async function* limitsExport(deps: Kept, person: Person, query: Narrow): AsyncGenerator<string> {
  yield limitsCsv.header()
  yield* underElectrodes(deps, person, query, async (id) =>
    (await deps.ledger.getLimits(id)).map(limitsCsv.row),
  )
}

export async function* worksExport(deps: Kept, person: Person, query: Narrow): AsyncGenerator<string> {
  yield worksCsv.header()
  yield* underElectrodes(deps, person, query, async (id) =>
    (await deps.ledger.getWorks(id)).map(worksCsv.row),
  )
}

/** Every calibration: an instrument belongs to no site. */
export async function* instrumentsExport(deps: Kept): AsyncGenerator<string> {
  yield calibrationsCsv.header()
  yield (await deps.ledger.listCalibrations()).map(calibrationsCsv.row).join('')
}
