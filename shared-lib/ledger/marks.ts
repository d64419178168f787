import { allShards, markKey, marksPk, SHARDS } from './keys.ts'
import type { DueMark, Ledger } from './ledger.ts'
import { row } from './rows.ts'
import type { TableAccess } from './table-access.ts'

type MarksArea = Pick<Ledger, 'markDue' | 'getMark' | 'getMarks' | 'clearMark' | 'listMarks'>

/** Due marks: one an electrode with news; a later mark replaces the earlier, and only the stamp that was read can be cleared. */
export function marksArea(table: TableAccess): MarksArea {
  return {
    async markDue(electrodeIds, { stamp, nowIso, uploadId }) {
      const rows = electrodeIds.map((electrodeId) => {
        const d: DueMark = {
          electrodeId,
          stamp,
          markedAt: nowIso,
          ...(uploadId === undefined ? {} : { uploadId }),
        }
        return row(markKey(electrodeId), { stamp, d })
      })
      await table.writeMany(rows)
    },
    async getMark(electrodeId) {
      const stored = await table.get(markKey(electrodeId))
      return stored && (stored.d as DueMark)
    },
    async getMarks(electrodeIds) {
      const found = await table.getMany(electrodeIds.map(markKey))
      return [...found.values()].map((stored) => stored.d as DueMark)
    },
    clearMark: (electrodeId, stamp) =>
      table.delete(markKey(electrodeId), { expression: 'stamp = :stamp', values: { ':stamp': stamp } }),
    async listMarks() {
      const shards = allShards(SHARDS.marks).map(marksPk)
      const rows = await Promise.all(shards.map((partition) => table.queryAll({ partition })))
      return rows.flat().map((r) => r.d as DueMark)
    },
  }
}
