import type { ElectrodeRecord } from './kept/register.ts'
import {
  allShards,
  duePk,
  HISTORY_PREFIX,
  idOf,
  registerKey,
  SHARDS,
  siteElectrodesPk,
  siteHistoryPk,
} from './keys.ts'
import type { Ledger } from './ledger.ts'
import { compareBytes, memoryPage, mergedPage } from './merged-page.ts'
import { recordOf, recordsWithDates, withDates } from './register.ts'
import { keyText, type Row } from './rows.ts'
import { INDEX } from './table.ts'
import type { TableAccess } from './table-access.ts'

/** What is due up to and with a month (`2026-05`), earliest first; what has been overdue since any month comes with it. */
export function dueArea(table: TableAccess): Pick<Ledger, 'listDue'> {
  /** The electrodes of one site are few enough to be read and put in order here. */
  async function listOfSite(q: Parameters<Ledger['listDue']>[0], siteId: string) {
    const rows = await table.queryAll({ partition: siteElectrodesPk(siteId), index: INDEX.owner })
    const found = await table.getMany(rows, { strong: false })
    const sortKey = (r: ElectrodeRecord) => `${r.dueOn}#${r.electrode.electrodeId}`
    const records = await recordsWithDates(table, [...found.values()].map(recordOf))
    const due = records
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
          const registerOf = (r: Row) => registerKey(idOf(r.sk.slice(HISTORY_PREFIX.length)))
          const registers = await table.getMany(rows.map(registerOf), { strong: false })
          return rows.map((r) => {
            const history = found.get(keyText(r))
            const register = registers.get(keyText(registerOf(r)))
            // An index row may be a moment behind its item, and a history behind a move to another site.
            if (
              !register ||
              !history ||
              history.ls !== r.ls ||
              history.pk !== siteHistoryPk(String(register.siteId))
            )
              return null
            return withDates(recordOf(register), history)
          })
        },
      })
    },
  }
}

/** Sorts after every day of the month. */
const endOf = (month: string): string => `${month}~`
