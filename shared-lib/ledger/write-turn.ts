import { lockKey, WRITING_TURN_KEY } from './keys.ts'
import type { Ledger } from './ledger.ts'
import { row } from './rows.ts'
import type { TableAccess } from './table-access.ts'

type WriteTurnArea = Pick<
  Ledger,
  'takeWritingTurn' | 'endWritingTurn' | 'lockElectrodes' | 'unlockElectrodes' | 'lockedUntil'
>

/**
 * Batch writes know no conditions, so whoever writes surveys by batch must be sure that nobody writes the same ones meanwhile.
 * Other batch writers are kept off by a turn. Single hand-ins are not kept off: the writer first locks the electrodes, then looks
 * what is there; a single hand-in first stores its survey (on condition that there is none), then looks for a lock. Whichever came
 * first, one of the two sees the other: the writer leaves out what is there, or the hand-in waits until the lock is gone and then
 * looks whether its survey is still the one that is kept. Both end by themselves after a time, so a crash holds up nobody.
 */
export function writeTurnArea(table: TableAccess): WriteTurnArea {
  return {
    takeWritingTurn: (by, nowMs, untilMs) =>
      table.put(row(WRITING_TURN_KEY, { by, until: untilMs }), {
        expression: 'attribute_not_exists(pk) OR #by = :by OR #until < :now',
        values: { ':by': by, ':now': nowMs },
        names: { '#by': 'by', '#until': 'until' },
      }),
    async endWritingTurn(by) {
      await table.delete(WRITING_TURN_KEY, {
        expression: '#by = :by',
        values: { ':by': by },
        names: { '#by': 'by' },
      })
    },
    lockElectrodes: (electrodeIds, untilMs) =>
      table.writeMany(electrodeIds.map((id) => row(lockKey(id), { until: untilMs }))),
    unlockElectrodes: (electrodeIds) => table.writeMany([], electrodeIds.map(lockKey)),
    async lockedUntil(electrodeId) {
      const lock = await table.get(lockKey(electrodeId))
      return lock ? Number(lock.until) : null
    },
  }
}
