import type { HeldSurvey } from './kept/survey.ts'
import { allShards, heldKey, heldListing, heldPk, heldShardPk, SHARDS } from './keys.ts'
import type { Ledger } from './ledger.ts'
import { mergedPage } from './merged-page.ts'
import { keyText, row } from './rows.ts'
import { INDEX } from './table.ts'
import type { TableAccess } from './table-access.ts'

type HeldArea = Pick<Ledger, 'holdSurvey' | 'listHeld' | 'heldFor' | 'removeHeld'>

/** Surveys whose electrode is not in the register, kept whole under the id they name. */
export function heldArea(table: TableAccess): HeldArea {
  return {
    async holdSurvey(held) {
      const key = heldKey(held.electrodeId, held.survey.surveyRef)
      // A survey that is released between the two steps is looked for once more, then simply held again.
      for (let attempt = 0; attempt < 3; attempt++) {
        if (await table.putNew(row(key, { d: held, ...heldListing(held) }))) return { outcome: 'stored' }
        const there = await table.get(key)
        if (there)
          return {
            outcome: (there.d as HeldSurvey).contentHash === held.contentHash ? 'already-there' : 'conflict',
          }
      }
      throw new Error(`The held survey ${held.id} comes and goes.`)
    },
    listHeld: (q) =>
      mergedPage(table, q, {
        list: 'held',
        index: INDEX.listing,
        partitions: allShards(SHARDS.held).map(heldShardPk),
        async resolve(rows) {
          const found = await table.getMany(rows, { strong: false })
          return rows.map((r) => (found.get(keyText(r))?.d as HeldSurvey | undefined) ?? null)
        },
      }),
    async heldFor(electrodeId) {
      const rows = await table.queryAll({ partition: heldPk(electrodeId) })
      return rows.map((r) => r.d as HeldSurvey)
    },
    async removeHeld(held) {
      await table.delete(heldKey(held.electrodeId, held.survey.surveyRef))
    },
  }
}
