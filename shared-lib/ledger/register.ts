import type { Electrode } from '../survey/register.ts'
import { utcInstant } from './instant.ts'
import {
  allShards,
  electrodeShardPk,
  enumerationOf,
  registerKey,
  SHARDS,
  siteElectrode,
  siteElectrodesPk,
} from './keys.ts'
import type { ElectrodeRecord, ElectrodeVersion, Ledger, WriteOutcome } from './ledger.ts'
import { LedgerError } from './ledger-error.ts'
import { mergedPage } from './merged-page.ts'
import { keyText, type Row, row } from './rows.ts'
import { sameJson } from './same-json.ts'
import { storable } from './storable.ts'
import { INDEX } from './table.ts'
import type { TableAccess } from './table-access.ts'

/** How often a write is begun again because somebody else wrote the same electrode in between. */
const ATTEMPTS = 20

export function recordOf(r: Row): ElectrodeRecord {
  const versions = r.versions as ElectrodeVersion[]
  return {
    electrode: versions.at(-1)!.electrode,
    versions,
    ...(r.lastTestedAt === undefined ? {} : { lastTestedAt: r.lastTestedAt as string }),
    ...(r.dueOn === undefined ? {} : { dueOn: r.dueOn as string }),
  }
}

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
  'putElectrode' | 'getElectrode' | 'getElectrodes' | 'listElectrodes' | 'listSites'
>

/** The register: one item an electrode with all its dated versions, changed only against the revision that was read. */
export function registerArea(table: TableAccess): RegisterArea {
  async function putElectrode(
    given: Electrode,
    at: { nowIso: string; validFrom?: string },
  ): Promise<WriteOutcome> {
    const electrode = storable(given).value as Electrode
    const { electrodeId, siteId } = electrode
    const key = registerKey(electrodeId)
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
        if (await table.putNew(created)) return 'created'
        continue
      }
      const before = stored.versions as ElectrodeVersion[]
      const versions = withVersion(before, electrode, utcInstant(at.validFrom ?? at.nowIso))
      if (sameJson(versions, before)) return 'same'
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
    throw new LedgerError('overloaded', `Electrode ${electrodeId} was being changed by too many at once.`)
  }

  /** In the order of the index rows; null where the electrode no longer belongs to the list. */
  async function resolve(rows: Row[], belongs: (r: ElectrodeRecord) => boolean) {
    const found = await table.getMany(rows, { strong: false })
    return rows.map((r) => {
      const stored = found.get(keyText(r))
      const record = stored && recordOf(stored)
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
