import type { Electrode } from '../survey/register.ts'
import { utcInstant } from './instant.ts'
import type { WriteOutcome } from './kept/page.ts'
import type { ElectrodeRecord, ElectrodeVersion } from './kept/register.ts'
import {
  allShards,
  electrodePk,
  electrodeShardPk,
  enumerationOf,
  historyKey,
  idOf,
  PREFIX,
  plainTag,
  registerKey,
  SHARDS,
  siteElectrode,
  siteElectrodesPk,
  tagKey,
  tagPk,
} from './keys.ts'
import type { Ledger } from './ledger.ts'
import { LedgerError } from './ledger-error.ts'
import { mergedPage } from './merged-page.ts'
import type { RetestRequest } from './retest.ts'
import { keyText, type Row, row } from './rows.ts'
import { sameJson } from './same-json.ts'
import { storable } from './storable.ts'
import { INDEX } from './table.ts'
import type { TableAccess } from './table-access.ts'

/** How often a write is begun again because somebody else wrote the same electrode in between. */
const ATTEMPTS = 20

export function recordOf(r: Row): ElectrodeRecord {
  const versions = r.versions as ElectrodeVersion[]
  return { electrode: versions.at(-1)!.electrode, versions }
}

/** The dates of tests stand with the electrode's short history, where every comparison writes them anyway. */
export const withDates = (record: ElectrodeRecord, history: Row | undefined): ElectrodeRecord => ({
  ...record,
  ...(history?.lastTestedAt === undefined ? {} : { lastTestedAt: history.lastTestedAt as string }),
  ...(history?.dueOn === undefined ? {} : { dueOn: history.dueOn as string }),
  ...(history?.retest === undefined ? {} : { retest: history.retest as RetestRequest }),
})

export async function recordsWithDates(
  table: TableAccess,
  records: readonly ElectrodeRecord[],
): Promise<ElectrodeRecord[]> {
  const keyOf = ({ electrode: e }: ElectrodeRecord) => historyKey(e.siteId, e.electrodeId)
  const found = await table.getMany(records.map(keyOf), { strong: false })
  return records.map((r) => withDates(r, found.get(keyText(keyOf(r)))))
}

/** Tells the register item that the electrode's limits have changed; an electrode that is not registered has nothing to be told. */
export async function limitsChanged(table: TableAccess, electrodeId: string): Promise<void> {
  for (let attempt = 0; attempt < ATTEMPTS; attempt++) {
    const stored = await table.get(registerKey(electrodeId))
    if (!stored) return
    const unchanged = { expression: 'rev = :rev', values: { ':rev': stored.rev } }
    const next = { rev: Number(stored.rev) + 1, limits: true }
    if (await table.update(registerKey(electrodeId), next, unchanged)) return
  }
  throw changedTooOften(electrodeId)
}

const changedTooOften = (electrodeId: string) =>
  new LedgerError('overloaded', `Electrode ${electrodeId} was being changed by too many at once.`)

/**
 * The versions after new words came into force at `from` (a UTC instant): a version of the same instant is replaced, the rest is
 * sorted, and a version that says what the one before it says is left out. The first is always in force from '' on.
 */
function withVersion(
  versions: readonly ElectrodeVersion[],
  electrode: Electrode,
  from: string,
): ElectrodeVersion[] {
  if (versions.length === 0) return [{ from: '', electrode }]
  const sorted = [...versions.filter((v) => v.from !== from), { from, electrode }].sort((a, b) =>
    a.from < b.from ? -1 : 1,
  )
  return sorted.filter((v, i) => i === 0 || !sameJson(v.electrode, sorted[i - 1]!.electrode))
}

type RegisterArea = Pick<
  Ledger,
  'putElectrode' | 'getElectrode' | 'getElectrodes' | 'listElectrodes' | 'electrodesByTag' | 'listSites'
>

/** The register: one item an electrode with all its dated versions, changed only against the revision that was read. */
export function registerArea(table: TableAccess): RegisterArea {
  async function putElectrode(
    given: Electrode,
    at: { nowIso: string; validFrom?: string },
  ): Promise<WriteOutcome> {
    const electrode = storable(given).value as Electrode
    const { electrodeId, siteId, tag } = electrode
    const key = registerKey(electrodeId)
    // Before the words: an entry that leads to an electrode with another tag is left out when it is read.
    if (tag !== undefined && tag.trim() !== '') await table.put(row(tagKey(tag, electrodeId), {}))
    for (let attempt = 0; attempt < ATTEMPTS; attempt++) {
      const stored = await table.get(key)
      if (!stored) {
        const created = row(key, {
          rev: 1,
          siteId,
          versions: withVersion([], electrode, ''),
          ...enumerationOf(electrodeId),
          ...siteElectrode(siteId, electrodeId),
        })
        if (await table.putNew(created)) {
          await noteLimits(electrodeId, 1)
          return 'created'
        }
        continue
      }
      const before = stored.versions as ElectrodeVersion[]
      const versions = withVersion(before, electrode, utcInstant(at.validFrom ?? at.nowIso))
      if (sameJson(versions, before)) {
        if (stored.limits === undefined) await noteLimits(electrodeId, Number(stored.rev))
        return 'same'
      }
      const siteNow = versions.at(-1)!.electrode.siteId
      const changed = {
        rev: Number(stored.rev) + 1,
        versions,
        siteId: siteNow,
        ...siteElectrode(siteNow, electrodeId),
      }
      const unchanged = { expression: 'rev = :rev', values: { ':rev': stored.rev } }
      if (await table.update(key, changed, unchanged)) return 'changed'
    }
    throw changedTooOften(electrodeId)
  }

  /** Notes that a new electrode has no limits yet, so that nobody has to look; on condition that none has come meanwhile. */
  async function noteLimits(electrodeId: string, rev: number): Promise<void> {
    const partition = electrodePk(electrodeId)
    const { rows } = await table.query({ partition, prefix: PREFIX.limit, limit: 1 })
    if (rows.length > 0) return
    await table.update(
      registerKey(electrodeId),
      { limits: false },
      { expression: 'rev = :seen', values: { ':seen': rev } },
    )
  }

  /** In the order of the index rows; null where the electrode no longer belongs to the list. */
  async function resolve(rows: Row[], belongs: (r: ElectrodeRecord) => boolean) {
    const found = await table.getMany(rows, { strong: false })
    const records = await recordsWithDates(table, [...found.values()].map(recordOf))
    const dated = new Map([...found.keys()].map((key, i) => [key, records[i]!]))
    return rows.map((r) => {
      const record = dated.get(keyText(r))
      return record && belongs(record) ? record : null
    })
  }

  return {
    putElectrode,

    async getElectrode(electrodeId) {
      const stored = await table.get(registerKey(electrodeId))
      return stored && recordOf(stored)
    },

    async getElectrodes(electrodeIds) {
      const found = await table.getMany(electrodeIds.map(registerKey))
      return new Map(
        [...found.values()].map(recordOf).map((record) => [record.electrode.electrodeId, record] as const),
      )
    },

    async electrodesByTag(tag) {
      const wanted = plainTag(tag)
      if (wanted === '') return []
      const rows = await table.queryAll({ partition: tagPk(tag) })
      const found = await table.getMany(rows.map((r) => registerKey(idOf(r.sk))))
      return [...found.values()]
        .map(recordOf)
        .filter(({ electrode }) => plainTag(electrode.tag ?? '') === wanted)
    },

    listElectrodes(q) {
      const { siteId } = q
      if (siteId !== undefined)
        return mergedPage(table, q, {
          list: `electrodes of ${siteId}`,
          index: INDEX.owner,
          partitions: [siteElectrodesPk(siteId)],
          resolve: (rows) => resolve(rows, (r) => r.electrode.siteId === siteId),
        })
      return mergedPage(table, q, {
        list: 'electrodes',
        index: INDEX.enumeration,
        partitions: allShards(SHARDS.electrodes).map(electrodeShardPk),
        resolve: (rows) => resolve(rows, () => true),
      })
    },

    /** Reads the enumeration once: about 100 bytes an electrode. */
    async listSites() {
      const shards = allShards(SHARDS.electrodes).map(electrodeShardPk)
      const rows = await Promise.all(
        shards.map((partition) => table.queryAll({ partition, index: INDEX.enumeration })),
      )
      const bySite = Map.groupBy(rows.flat(), (r) => String(r.siteId))
      return [...bySite]
        .map(([siteId, electrodes]) => ({ siteId, electrodes: electrodes.length }))
        .sort((a, b) => (a.siteId < b.siteId ? -1 : 1))
    },
  }
}
