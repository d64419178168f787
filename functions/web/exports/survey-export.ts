import type { SurveyRecord } from '../../../shared-lib/ledger/kept/survey.ts'
import { type Person, seesSite } from '../../../shared-lib/ports/identity.ts'
import { surveyCsvHeader, surveyCsvRows } from '../../../shared-lib/survey/write-csv.ts'
import { barToRead, seesOnlyNamed } from '../access.ts'
import type { WebDeps } from '../deps.ts'
import { electrodesOf } from './visible-electrodes.ts'

type Kept = Pick<WebDeps, 'ledger'>

/** Electrodes whose files are read at the same time. */
const AT_ONCE = 8

function rowsOf(surveys: readonly SurveyRecord[]): string {
  return [...surveys]
    .sort((a, b) => Date.parse(a.survey.testedAt) - Date.parse(b.survey.testedAt))
    .map(({ survey }) => surveyCsvRows(survey))
    .join('')
}

/** Surveys about a site's soil or an instrument, which have no electrode. An engineer who is named for electrodes has none. */
async function* surveysApart(deps: Kept, person: Person, siteId?: string): AsyncGenerator<SurveyRecord[]> {
  if (seesOnlyNamed(person)) return
  for (const site of await deps.ledger.listSites())
    if (seesSite(person, site.siteId) && (siteId === undefined || site.siteId === siteId))
      yield deps.ledger.listSurveysOf({ kind: 'site', id: site.siteId })
  if (siteId !== undefined || person.sites !== '*') return
  const instruments = new Set((await deps.ledger.listCalibrations()).map((k) => k.instrumentId))
  for (const id of instruments) yield deps.ledger.listSurveysOf({ kind: 'instrument', id })
}

async function* ofElectrode(deps: Kept, person: Person, electrodeId: string): AsyncGenerator<string> {
  yield surveyCsvHeader()
  const file = await deps.ledger.readElectrodeFile(electrodeId)
  if (file && barToRead(person, file.record.electrode) === null) yield rowsOf(file.surveys)
}

/**
 * Surveys that a person may see, in the long form they can be handed in again: electrode by electrode, each by test date, then those
 * of soils and instruments. In pieces of a few electrodes, so memory does not grow with the fleet.
 */
export async function* surveyExport(
  deps: Kept,
  person: Person,
  { site, electrode }: { site?: string; electrode?: string },
): AsyncGenerator<string> {
  if (electrode !== undefined) return yield* ofElectrode(deps, person, electrode)
  yield surveyCsvHeader()
  for await (const records of electrodesOf(deps, person, site))
    for (let at = 0; at < records.length; at += AT_ONCE) {
      const ids = records.slice(at, at + AT_ONCE).map((r) => r.electrode.electrodeId)
      const files = await Promise.all(ids.map((id) => deps.ledger.readElectrodeFile(id)))
      const rows = files.map((file) => rowsOf(file?.surveys ?? [])).join('')
      if (rows !== '') yield rows
    }
  for await (const surveys of surveysApart(deps, person, site)) if (surveys.length > 0) yield rowsOf(surveys)
}
