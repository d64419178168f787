import { allShards, duePk, SHARDS, siteElectrodesPk } from './keys.ts'
import type { ElectrodeRecord, Ledger } from './ledger.ts'
import { compareBytes, memoryPage, mergedPage } from './merged-page.ts'
import { recordOf } from './register.ts'
import { keyText } from './rows.ts'
import { INDEX } from './table.ts'
import type { TableAccess } from './table-access.ts'

/** What is due up to and with a month (`2026-05`), earliest first; what has been overdue since any month comes with it. */
export function dueArea(table: TableAccess): Pick<Ledger, 'listDue'> {
  /** The electrodes of one site are few enough to be read and put in order here. */
  async function listOfSite(q: Parameters<Ledger['listDue']>[0], siteId: string) {
    const rows = await table.queryAll({ partition: siteElectrodesPk(siteId), index: INDEX.owner })
    const found = await table.getMany(rows, { strong: false })
    const sortKey = (r: ElectrodeRecord) => `${r.dueOn}#${r.electrode.electrodeId}`
    const due = [...found.values()]
      .map(recordOf)
      .filter((r) => r.electrode.siteId === siteId && r.dueOn !== undefined)
      .filter((r) => compareBytes(sortKey(r), endOf(q.toMonth)) < 0)
      .sort((a, b) => compareBytes(sortKey(a), sortKey(b)))
    return memoryPage(q, `due of ${siteId} to ${q.toMonth}`, due, sortKey)
  }

  return {
    async listDue(q) {
      if (q.siteId !== undefined) return listOfSite(q, q.siteId)
      return mergedPage(table, q, {
        list: `due to ${q.toMonth}`,
        index: INDEX.listing,
        partitions: allShards(SHARDS.due).map(duePk),
        below: endOf(q.toMonth),
        async resolve(rows) {
          const found = await table.getMany(rows, { strong: false })
          return rows.map((r) => {
            const stored = found.get(keyText(r))
            return stored && stored.ls === r.ls ? recordOf(stored) : null
          })
        },
      })
    },
  }
}

/** Sorts after every day of the month. */
const endOf = (month: string): string => `${month}~`
