import { leaseKey } from './keys.ts'
import { row } from './rows.ts'
import type { TableAccess } from './table-access.ts'

/** A lease says that one hand is at work on something; it runs out by itself when that hand dies. */
export interface Leases {
  /** True when it was free, or had run out at `nowMs`; then it is `holder`'s until `untilMs`. */
  take(name: string, holder: string, times: { nowMs: number; untilMs: number }): Promise<boolean>
  /** Gives it back; changes nothing when somebody else has it meanwhile. */
  release(name: string, holder: string): Promise<void>
}

export function leasesOver(table: Pick<TableAccess, 'put' | 'delete'>): Leases {
  return {
    take: (name, holder, { nowMs, untilMs }) =>
      table.put(row(leaseKey(name), { holder, untilMs }), {
        expression: 'attribute_not_exists(pk) OR untilMs <= :now',
        values: { ':now': nowMs },
      }),
    async release(name, holder) {
      await table.delete(leaseKey(name), {
        expression: 'holder = :holder',
        values: { ':holder': holder },
      })
    },
  }
}
