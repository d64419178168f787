import type { FleetStanding, StandingCounts } from '../../shared-lib/ledger/standing.ts'
import { type Person, seesSite } from '../../shared-lib/ports/identity.ts'
import { seesOnlyNamed } from './access.ts'
import type { WebDeps } from './deps.ts'

export interface FleetRow {
  siteId: string
  electrodes: number
  /** Absent: not counted yet, or not this person's to know. */
  counts?: StandingCounts
}

export interface Fleet {
  rows: FleetRow[]
  countedAt: string | null
}

/**
 * The sites a person sees, each with how it stood when the fleet was counted last. Who sees only the electrodes that name them gets no
 * counts: those are of the whole site.
 */
export async function readFleet(deps: Pick<WebDeps, 'ledger'>, person: Person): Promise<Fleet> {
  const nothing: FleetStanding = { countedAt: null, sites: [] }
  const [sites, standing] = await Promise.all([
    deps.ledger.listSites(),
    seesOnlyNamed(person) ? nothing : deps.ledger.getFleetStanding(),
  ])
  const counted = new Map(standing.sites.map((s) => [s.siteId, s.counts]))
  const rows = sites
    .filter((s) => seesSite(person, s.siteId))
    .map((s) => {
      const counts = counted.get(s.siteId)
      return counts ? { ...s, counts } : s
    })
  return { rows, countedAt: standing.countedAt }
}
