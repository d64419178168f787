import type { SiteFile } from '../../../../shared-lib/ledger/kept/site.ts'
import {
  countStandings,
  type Standing,
  type StandingCounts,
  standingOf,
} from '../../../../shared-lib/ledger/standing.ts'
import type { Person } from '../../../../shared-lib/ports/identity.ts'
import { barToRead } from '../../access.ts'

export interface SiteSummary {
  standings: Map<string, Standing>
  counts: StandingCounts
}

/** How a site's electrodes stand, as far as a person may read them. `today` is YYYY-MM-DD. */
export function summariseSite(file: SiteFile, person: Person, today: string): SiteSummary {
  const standings = new Map<string, Standing>()
  for (const [electrodeId, { history }] of file.histories)
    if (!barToRead(person, history.electrode)) standings.set(electrodeId, standingOf(history, today))
  return { standings, counts: countStandings(standings.values()) }
}
