import type { DueMark } from './kept/mark.ts'
import type { PeerOfV1 } from './kept/site.ts'
import {
  allShards,
  electrodeShardPk,
  type ItemKey,
  instrumentPeersPkOfV1,
  marksPk,
  SCHEMA_KEY,
  SHARDS,
  sitePeersPkOfV1,
} from './keys.ts'
import type { Ledger } from './ledger.ts'
import { row, SCHEMA_VERSION } from './rows.ts'
import { INDEX } from './table.ts'
import type { TableAccess } from './table-access.ts'

const AT_ONCE = 500

/**
 * Brings what an older program has stored to the present schema, once; killed in between it begins again. Each kind of item of an
 * older version can be read as it is; what is done here is what reading cannot do:
 *
 * 1 -> 2: due dates stood in the register item and stand with the electrode's short history now, which is made by a comparison: every
 * electrode is marked. Marks had no site. Peer entries are no more.
 *
 * 2 -> 3: short histories and marks keep tests by field (test-columns.ts) and no longer one by one, surveys are squeezed: nothing to
 * do, both are read either way.
 */
export function upgradeArea(table: TableAccess, markDue: Ledger['markDue']): Pick<Ledger, 'upgrade'> {
  async function everyElectrode(): Promise<ItemKey[]> {
    const partitions = allShards(SHARDS.electrodes).map(electrodeShardPk)
    const rows = await Promise.all(
      partitions.map((partition) => table.queryAll({ partition, index: INDEX.enumeration })),
    )
    return rows.flat()
  }

  async function fromOne(mark: { stamp: string; nowIso: string }): Promise<number> {
    const registers = await everyElectrode()
    const shards = allShards(SHARDS.marks).map(marksPk)
    const marks = (await Promise.all(shards.map((partition) => table.queryAll({ partition })))).flat()
    const old = marks.filter((r) => (r.d as DueMark).siteId === undefined)
    const sites = new Set<string>()
    const ids = new Set(old.map((r) => (r.d as DueMark).electrodeId))
    for (let i = 0; i < registers.length; i += AT_ONCE) {
      const found = await table.getMany(registers.slice(i, i + AT_ONCE))
      for (const r of found.values()) {
        sites.add(String(r.siteId))
        const versions = r.versions as { electrode: { electrodeId: string } }[]
        ids.add(versions.at(-1)!.electrode.electrodeId)
        const gone = { lastTestedAt: undefined, dueOn: undefined, lp: undefined, ls: undefined }
        if (r.v === 1) await table.update(r, { v: SCHEMA_VERSION, ...gone })
      }
    }
    const all = [...ids]
    for (let i = 0; i < all.length; i += AT_ONCE) await markDue(all.slice(i, i + AT_ONCE), mark)
    await table.writeMany([], old)
    for (const siteId of sites) {
      const peers = await table.queryAll({ partition: sitePeersPkOfV1(siteId) })
      const ofInstruments = peers.flatMap((r) => {
        const { instrumentId } = r.d as PeerOfV1
        return instrumentId === undefined ? [] : [{ pk: instrumentPeersPkOfV1(instrumentId), sk: r.sk }]
      })
      await table.writeMany([], ofInstruments)
      await table.writeMany([], peers)
    }
    return all.length
  }

  return {
    async upgrade(mark) {
      const stored = await table.get(SCHEMA_KEY)
      if (stored?.schema === SCHEMA_VERSION) return 0
      const marked = stored?.schema === 2 ? 0 : await fromOne(mark)
      await table.put(row(SCHEMA_KEY, { schema: SCHEMA_VERSION }))
      return marked
    },
  }
}
