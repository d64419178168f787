import type { SiteFile } from './kept/site.ts'
import { STANDINGS_HEADER_KEY, STANDINGS_PK, standingKey } from './keys.ts'
import type { Ledger } from './ledger.ts'
import { row } from './rows.ts'
import { sameJson } from './same-json.ts'
import { countStandings, type SiteStanding, standingOf } from './standing.ts'
import type { TableAccess } from './table-access.ts'

/**
 * Counts how every site stands and keeps it: what a page of the whole fleet shows without reading the fleet. One query a site; a
 * site is written only where its numbers changed, a site that is no more goes. Returns how many were written or removed.
 */
export async function countFleet(
  ledger: Pick<Ledger, 'getFleetStanding' | 'putFleetStanding'>,
  sites: AsyncIterable<SiteFile & { siteId: string }>,
  nowIso: string,
): Promise<number> {
  const before = new Map((await ledger.getFleetStanding()).sites.map((s) => [s.siteId, s]))
  const changed: SiteStanding[] = []
  for await (const { siteId, histories } of sites) {
    const standings = [...histories.values()].map(({ history }) => standingOf(history, nowIso.slice(0, 10)))
    if (standings.length === 0) continue
    const now = { siteId, electrodes: standings.length, counts: countStandings(standings) }
    if (!sameJson(now, before.get(siteId))) changed.push(now)
    before.delete(siteId)
  }
  await ledger.putFleetStanding({ countedAt: nowIso, changed, gone: [...before.keys()] })
  return changed.length + before.size
}

export function standingsArea(table: TableAccess): Pick<Ledger, 'getFleetStanding' | 'putFleetStanding'> {
  return {
    async getFleetStanding() {
      const rows = await table.queryAll({ partition: STANDINGS_PK, strong: false })
      const header = rows.find((r) => r.sk === STANDINGS_HEADER_KEY.sk)
      return {
        countedAt: (header?.countedAt as string | undefined) ?? null,
        sites: rows.filter((r) => r !== header).map((r) => r.d as SiteStanding),
      }
    },
    putFleetStanding: ({ countedAt, changed, gone }) =>
      table.writeMany(
        [
          row(STANDINGS_HEADER_KEY, { countedAt }),
          ...changed.map((s) => row(standingKey(s.siteId), { d: s })),
        ],
        gone.map(standingKey),
      ),
  }
}
