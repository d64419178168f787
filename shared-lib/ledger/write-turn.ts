import { createHash } from 'node:crypto'
import { WRITING_TURN_KEY } from './keys.ts'
import type { Ledger } from './ledger.ts'
import { row } from './rows.ts'
import type { TableAccess } from './table-access.ts'

type WriteTurnArea = Pick<Ledger, 'takeWritingTurn' | 'endWritingTurn' | 'lockedUntil'>

/** What stands for an electrode in the turn. Two that share one by chance only wait for each other. */
const SIGN_BYTES = 6
const signOf = (electrodeId: string): Buffer =>
  createHash('sha256').update(electrodeId).digest().subarray(0, SIGN_BYTES)

function holdsSign(signs: Uint8Array, sign: Buffer): boolean {
  for (let at = 0; at < signs.length; at += SIGN_BYTES)
    if (sign.equals(signs.subarray(at, at + SIGN_BYTES))) return true
  return false
}

/**
 * Batch writes know no conditions, so whoever writes surveys by batch must be sure that nobody writes the same ones meanwhile.
 * Other batch writers are kept off by a turn, one item that also names the electrodes. Single hand-ins are not kept off: the writer
 * first takes the turn, then looks what is there; a single hand-in first stores its survey (on condition that there is none), then
 * looks whether the turn names its electrode. Whichever came first, one of the two sees the other: the writer leaves out what is
 * there, or the hand-in waits until the turn is over and then looks whether its survey is still the one that is kept. A turn ends by
 * itself after a time, so a crash holds up nobody.
 */
export function writeTurnArea(table: TableAccess): WriteTurnArea {
  return {
    takeWritingTurn: (by, { nowMs, untilMs, electrodeIds }) =>
      table.put(
        row(WRITING_TURN_KEY, { by, until: untilMs, electrodes: Buffer.concat(electrodeIds.map(signOf)) }),
        {
          expression: 'attribute_not_exists(pk) OR #by = :by OR #until < :now',
          values: { ':by': by, ':now': nowMs },
          names: { '#by': 'by', '#until': 'until' },
        },
      ),
    async endWritingTurn(by) {
      await table.delete(WRITING_TURN_KEY, {
        expression: '#by = :by',
        values: { ':by': by },
        names: { '#by': 'by' },
      })
    },
    async lockedUntil(electrodeId) {
      const turn = await table.get(WRITING_TURN_KEY)
      if (!turn) return null
      // An older program's turn does not say whom it is about.
      const signs = turn.electrodes as Uint8Array | undefined
      return !signs || holdsSign(signs, signOf(electrodeId)) ? Number(turn.until) : null
    },
  }
}
