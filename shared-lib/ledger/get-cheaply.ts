import type { ItemKey } from './keys.ts'
import { keyText, type Row } from './rows.ts'
import type { TableAccess } from './table-access.ts'

/**
 * Many items for half of what strong reads cost: they may be a moment old, but an item is not taken as absent before a strong read
 * has said so. For readers to whom an older item does no harm.
 */
export async function getCheaply(table: TableAccess, keys: readonly ItemKey[]): Promise<Map<string, Row>> {
  const found = await table.getMany(keys, { strong: false })
  const missing = keys.filter((k) => !found.has(keyText(k)))
  if (missing.length > 0) for (const [key, row] of await table.getMany(missing)) found.set(key, row)
  return found
}
