import type { ItemKey } from './keys.ts'
import { LedgerError } from './ledger-error.ts'

/** The schema version every stored item carries in `v`. */
export const SCHEMA_VERSION = 3
/** Items of this one are read as they are; see upgrade.ts for the rest. */
const OLDEST_READABLE = 1

/** One stored item: its keys, its schema version, what it holds, and attributes of its own area. */
export interface Row extends ItemKey {
  v: number
  [attribute: string]: unknown
}

/** Checks that a stored item is one this program can read. Throws `unknown-version` when a newer one wrote it. */
export function knownRow(item: Record<string, unknown>): Row {
  if (!(Number(item.v) >= OLDEST_READABLE && Number(item.v) <= SCHEMA_VERSION))
    throw new LedgerError(
      'unknown-version',
      `The stored item ${String(item.pk)} ${String(item.sk)} has schema version ${String(item.v)}; this program reads ${OLDEST_READABLE} to ${SCHEMA_VERSION}.`,
      { pk: item.pk, sk: item.sk, v: item.v },
    )
  return item as Row
}

/** A new item with its schema version. */
export const row = (key: ItemKey, attributes: object): Row => ({ ...key, v: SCHEMA_VERSION, ...attributes })

/** One text for a key, for maps. A newline cannot be inside `pk`'s fixed part, and both parts are compared whole. */
export const keyText = (k: ItemKey): string => `${k.pk}\n${k.sk}`
