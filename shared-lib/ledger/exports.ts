import type { ExportJob } from './kept/export.ts'
import { exportKey, exportsPk } from './keys.ts'
import type { Ledger } from './ledger.ts'
import { row } from './rows.ts'
import type { TableAccess } from './table-access.ts'

type ExportsArea = Pick<Ledger, 'putExport' | 'getExport' | 'listExports' | 'removeExports'>

/** Exports made as files, under who asked for them: under somebody else's name there is nothing to be found. */
export function exportsArea(table: TableAccess): ExportsArea {
  return {
    async putExport(job) {
      await table.put(row(exportKey(job.person.id, job.id), { d: job }))
    },
    async getExport(personId, id) {
      const stored = await table.get(exportKey(personId, id))
      return stored ? (stored.d as ExportJob) : null
    },
    async listExports(personId) {
      const rows = await table.queryAll({ partition: exportsPk(personId) })
      return rows.map((r) => r.d as ExportJob)
    },
    async removeExports(personId, ids) {
      await table.writeMany(
        [],
        ids.map((id) => exportKey(personId, id)),
      )
    },
  }
}
