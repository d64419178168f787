import { ENDED_SESSIONS_PK, endedSessionKey } from './keys.ts'
import type { Ledger } from './ledger.ts'
import { row } from './rows.ts'
import type { TableAccess } from './table-access.ts'

/**
 * Sessions that were signed out before their time. A session is a signed cookie and good wherever it turns up; what is here is not.
 * Each sign-out clears away those that have ended by themselves since, so the list holds one life of sessions at most.
 */
export function endedSessionsArea(table: TableAccess): Pick<Ledger, 'endSession' | 'isSessionEnded'> {
  return {
    async endSession(digest, { nowMs, untilMs }) {
      await table.put(row(endedSessionKey(digest), { untilMs }))
      const all = await table.queryAll({ partition: ENDED_SESSIONS_PK })
      const past = all.filter((r) => Number(r.untilMs) < nowMs)
      await table.writeMany(
        [],
        past.map(({ pk, sk }) => ({ pk, sk })),
      )
    },
    isSessionEnded: async (digest) => (await table.get(endedSessionKey(digest))) !== null,
  }
}
