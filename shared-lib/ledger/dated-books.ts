import type { Calibration, Limit, Work } from '../survey/register.ts'
import type { WriteOutcome } from './kept/page.ts'
import {
  CALIBRATIONS_PK,
  calibrationKey,
  calibrationListing,
  electrodePk,
  type ItemKey,
  limitKey,
  PREFIX,
  subjectPk,
  workKey,
} from './keys.ts'
import type { Ledger } from './ledger.ts'
import { limitsChanged } from './register.ts'
import { row } from './rows.ts'
import { sameJson } from './same-json.ts'
import { storable } from './storable.ts'
import { INDEX } from './table.ts'
import type { TableAccess } from './table-access.ts'

type DatedBooksArea = Pick<
  Ledger,
  | 'putCalibration'
  | 'getCalibrations'
  | 'listCalibrations'
  | 'putLimit'
  | 'getLimits'
  | 'putWork'
  | 'getWorks'
>

/** Calibrations, limits and works: small dated entries, each under its own key; the same key again replaces the words. */
export function datedBooksArea(table: TableAccess): DatedBooksArea {
  async function putWords(key: ItemKey, words: object, keys: object = {}): Promise<WriteOutcome> {
    const d = storable(words).value
    if (await table.putNew(row(key, { d, ...keys }))) return 'created'
    const stored = await table.get(key)
    if (stored && sameJson(stored.d, d)) return 'same'
    await table.put(row(key, { d, ...keys }))
    return 'changed'
  }

  return {
    putCalibration: (c) =>
      putWords(
        calibrationKey(c.instrumentId, c.calibratedOn),
        c,
        calibrationListing(c.instrumentId, c.calibratedOn),
      ),
    async getCalibrations(instrumentId, options = { strong: true }) {
      const partition = subjectPk({ kind: 'instrument', id: instrumentId })
      const rows = await table.queryAll({ partition, prefix: PREFIX.calibration, ...options })
      return rows.map((r) => r.d as Calibration)
    },
    async listCalibrations() {
      const rows = await table.queryAll({ partition: CALIBRATIONS_PK, index: INDEX.listing })
      const found = await table.getMany(rows, { strong: false })
      return [...found.values()]
        .sort((a, b) => (String(a.ls) < String(b.ls) ? -1 : 1))
        .map((r) => r.d as Calibration)
    },
    async putLimit(l: Limit) {
      const outcome = await putWords(limitKey(l), l)
      // After the limit itself: whoever reads the new revision finds it. `same` too, for a repeat after a crash in between.
      await limitsChanged(table, l.electrodeId)
      return outcome
    },
    async getLimits(electrodeId) {
      const rows = await table.queryAll({ partition: electrodePk(electrodeId), prefix: PREFIX.limit })
      return rows.map((r) => r.d as Limit)
    },
    putWork: (w: Work) => putWords(workKey(w), w),
    async getWorks(electrodeId) {
      const rows = await table.queryAll({ partition: electrodePk(electrodeId), prefix: PREFIX.work })
      return rows.map((r) => r.d as Work)
    },
  }
}
