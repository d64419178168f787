import { COLUMN_MAPS_PK, columnMapKey } from './keys.ts'
import type { Ledger } from './ledger.ts'
import { row } from './rows.ts'
import type { TableAccess } from './table-access.ts'

interface NamedMap {
  name: string
  map: Record<string, unknown>
}

/** Saved column maps: own header -> field, for operators who feed their own exports. */
export function columnMapsArea(table: TableAccess): Pick<Ledger, 'putColumnMap' | 'listColumnMaps'> {
  return {
    async putColumnMap(name, map) {
      await table.put(row(columnMapKey(name), { d: { name, map } satisfies NamedMap }))
    },
    async listColumnMaps() {
      const rows = await table.queryAll({ partition: COLUMN_MAPS_PK })
      return rows.map((r) => r.d as NamedMap)
    },
  }
}
