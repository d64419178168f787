import type { SiteHeader, StoredHistory } from './kept/site.ts'
import {
  dueListing,
  HISTORY_PREFIX,
  historyKey,
  idOf,
  instrumentSiteKey,
  instrumentSitesPk,
  siteHeaderKey,
  siteHistoryPk,
} from './keys.ts'
import type { Ledger } from './ledger.ts'
import { keyText, type Row, row } from './rows.ts'
import { type ElectrodeHistory, historyOf, historyText } from './site-history.ts'
import { squeezed, unsqueezed } from './squeeze.ts'
import type { TableAccess } from './table-access.ts'

type SitesArea = Pick<
  Ledger,
  | 'readSite'
  | 'getSiteHeader'
  | 'putSiteHeader'
  | 'dropHistories'
  | 'compared'
  | 'putInstrumentSite'
  | 'sitesOfInstrument'
  | 'electrodesOfInstrument'
>

export const historyTextOf = (r: Row): string => unsqueezed(r.z as Uint8Array)

function storedHistory(r: Row): StoredHistory {
  const text = historyTextOf(r)
  return { history: historyOf(text), text, rev: Number(r.rev) }
}

/** Writes one electrode's short history against the revision that was read. False when there is another by now. */
export function putHistory(
  table: TableAccess,
  history: ElectrodeHistory,
  seen: Pick<StoredHistory, 'rev'> | null,
): Promise<boolean> {
  const { electrodeId, siteId } = history.electrode
  const { dueOn, lastTestedAt, retest } = history
  const item = row(historyKey(siteId, electrodeId), {
    rev: (seen?.rev ?? 0) + 1,
    z: squeezed(historyText(history)),
    ...(lastTestedAt === undefined ? {} : { lastTestedAt }),
    ...(retest === undefined ? {} : { retest }),
    ...(dueOn === undefined ? {} : { dueOn, ...dueListing(electrodeId, dueOn) }),
  })
  return seen
    ? table.put(item, { expression: 'rev = :rev', values: { ':rev': seen.rev } })
    : table.putNew(item)
}

/** A site's short histories in one partition: one strong query is all that a comparison reads of the neighbours. */
export function sitesArea(table: TableAccess): SitesArea {
  async function readSite(siteId: string) {
    const rows = await table.queryAll({ partition: siteHistoryPk(siteId) })
    const header = rows.find((r) => r.sk === siteHeaderKey(siteId).sk)
    const histories = rows
      .filter((r) => r.sk.startsWith(HISTORY_PREFIX))
      .map((r) => [idOf(r.sk.slice(HISTORY_PREFIX.length)), storedHistory(r)] as const)
    return { header: (header?.d as SiteHeader | undefined) ?? null, histories: new Map(histories) }
  }
  const sitesOfInstrument = async (instrumentId: string) => {
    const rows = await table.queryAll({ partition: instrumentSitesPk(instrumentId) })
    return rows.map((r) => idOf(r.sk))
  }

  return {
    readSite,
    async getSiteHeader(siteId) {
      const key = siteHeaderKey(siteId)
      const found = await table.getMany([key], { strong: false })
      return (found.get(keyText(key))?.d as SiteHeader | undefined) ?? null
    },
    async putSiteHeader(siteId, header) {
      await table.put(row(siteHeaderKey(siteId), { d: header }))
    },
    dropHistories: (siteId, electrodeIds) =>
      table.writeMany(
        [],
        electrodeIds.map((id) => historyKey(siteId, id)),
      ),
    async compared(surveys) {
      const keys = surveys.map((s) => historyKey(s.siteId, s.electrodeId))
      const found = await table.getMany(keys, { strong: false })
      const refs = new Map<string, Set<string>>()
      for (const [key, r] of found)
        refs.set(key, new Set(storedHistory(r).history.tests.map((t) => t.test.surveyRef)))
      return surveys.map((s, i) => refs.get(keyText(keys[i]!))?.has(s.surveyRef) ?? false)
    },
    async putInstrumentSite(instrumentId, siteId) {
      await table.put(row(instrumentSiteKey(instrumentId, siteId), {}))
    },
    sitesOfInstrument,
    async electrodesOfInstrument(instrumentId, fromIso) {
      const fromMs = fromIso === '' ? Number.NEGATIVE_INFINITY : Date.parse(fromIso)
      const found: string[] = []
      for (const siteId of await sitesOfInstrument(instrumentId))
        for (const [electrodeId, { history }] of (await readSite(siteId)).histories)
          if (history.tests.some(({ test: t }) => t.instrumentId === instrumentId && t.testedAtMs >= fromMs))
            found.push(electrodeId)
      return found.sort()
    },
  }
}
