import { electrodeOfFinding } from './finding-id.ts'
import { findingOf } from './finding-rows.ts'
import type { MailChoice, Untold } from './kept/telling.ts'
import {
  afterRecipient,
  allShards,
  findingKey,
  idOf,
  mailChoiceKey,
  mailTimesKey,
  SHARDS,
  toldKey,
  toldOpenKey,
  toldOpenPk,
  untoldKey,
  untoldListing,
  untoldPk,
  untoldShardPk,
} from './keys.ts'
import type { Ledger } from './ledger.ts'
import { keyText, type Row, row } from './rows.ts'
import { INDEX } from './table.ts'
import type { TableAccess } from './table-access.ts'

type TellingArea = Pick<
  Ledger,
  | 'addUntold'
  | 'listUntold'
  | 'listRecipientsWithUntold'
  | 'markTold'
  | 'wasTold'
  | 'settledSince'
  | 'markSettledTold'
  | 'mailChoice'
  | 'putMailChoice'
  | 'mailTimes'
  | 'putMailTimes'
>

/** So many of what somebody was told are looked at for their end, in one read of keys and one of findings. */
const MOST_THREADS = 300

/** Does what was told cover this news? A finding told as a warning that has become urgent is news once more. */
const covers = (told: Row | undefined, news: Untold): boolean =>
  told !== undefined && (told.urgent === true || !news.urgent)

/** Who has not been told what yet, and what each was told: so that nobody hears the same thing twice. */
export function tellingArea(table: TableAccess): TellingArea {
  const toldRows = (list: readonly Untold[]) =>
    table.getMany(list.map((u) => toldKey(u.recipient, u.findingId)))
  const isTold = (told: Map<string, Row>, u: Untold) =>
    covers(told.get(keyText(toldKey(u.recipient, u.findingId))), u)

  return {
    async addUntold(untold) {
      const [told, waiting] = await Promise.all([
        toldRows(untold),
        table.getMany(untold.map((u) => untoldKey(u.recipient, u.findingId))),
      ])
      const rows = untold
        .filter((u) => !isTold(told, u))
        .flatMap((u) => {
          const key = untoldKey(u.recipient, u.findingId)
          const before = waiting.get(keyText(key))?.d as Untold | undefined
          // A repeat keeps the time it has waited since; only becoming urgent changes what waits.
          if (before && (before.urgent || !u.urgent)) return []
          const d = before ? { ...u, queuedAtMs: before.queuedAtMs } : u
          return [row(key, { d, ...untoldListing(u.recipient, u.findingId) })]
        })
      await table.writeMany(rows)
      return rows.length
    },

    async listUntold(recipient) {
      const rows = await table.queryAll({ partition: untoldPk(recipient) })
      const waiting = rows.map((r) => r.d as Untold)
      const told = await toldRows(waiting)
      // Told and still here: a crash between the two writes of markTold. The rest of that work is done now.
      const over = waiting.filter((u) => isTold(told, u))
      await table.writeMany(
        [],
        over.map((u) => untoldKey(u.recipient, u.findingId)),
      )
      return waiting.filter((u) => !isTold(told, u)).sort((a, b) => a.queuedAtMs - b.queuedAtMs)
    },

    /** One small read a recipient who waits, none for what waits. */
    async listRecipientsWithUntold() {
      const perShard = await Promise.all(
        allShards(SHARDS.untold).map(async (shard) => {
          const recipients: string[] = []
          let after: string | undefined
          for (;;) {
            const { rows } = await table.query({
              partition: untoldShardPk(shard),
              index: INDEX.listing,
              limit: 1,
              ...(after === undefined ? {} : { after }),
            })
            const sortKey = rows[0]?.ls
            if (typeof sortKey !== 'string') return recipients
            const escaped = sortKey.slice(0, sortKey.indexOf('#'))
            recipients.push(idOf(escaped))
            after = afterRecipient(escaped)
          }
        }),
      )
      return perShard.flat().sort()
    },

    async markTold(untold, { messageId, atIso }) {
      // Remembered first: after a crash in between, listUntold clears up and nothing is told again.
      const rows = untold.map((u) =>
        row(toldKey(u.recipient, u.findingId), { messageId, toldAt: atIso, urgent: u.urgent }),
      )
      const threads = untold.map((u) => row(toldOpenKey(u.recipient, u.findingId), { messageId }))
      // What was told to nobody has no end that anybody waits for.
      await table.writeMany(messageId.startsWith('none:') ? rows : [...rows, ...threads])
      await table.writeMany(
        [],
        untold.map((u) => untoldKey(u.recipient, u.findingId)),
      )
    },

    async wasTold(recipient, findingIds) {
      const told = await table.getMany(findingIds.map((id) => toldKey(recipient, id)))
      return new Set([...told.values()].map((r) => r.sk))
    },

    async settledSince(recipient) {
      const { rows } = await table.query({ partition: toldOpenPk(recipient), limit: MOST_THREADS })
      const keyOf = (id: string) => findingKey(electrodeOfFinding(id) ?? '', id)
      const stored = await table.getMany(rows.map((r) => keyOf(r.sk)))
      return rows.flatMap((r) => {
        const kept = stored.get(keyText(keyOf(r.sk)))
        const finding = kept ? findingOf(kept) : null
        return finding?.state === 'open' ? [] : [{ findingId: r.sk, finding }]
      })
    },

    async markSettledTold(recipient, findingIds) {
      await table.writeMany(
        [],
        findingIds.map((id) => toldOpenKey(recipient, id)),
      )
    },

    async mailChoice(recipient) {
      return ((await table.get(mailChoiceKey(recipient)))?.d as MailChoice | undefined) ?? null
    },

    async putMailChoice(recipient, choice) {
      await table.put(row(mailChoiceKey(recipient), { d: choice }))
    },

    async mailTimes(recipient) {
      return ((await table.get(mailTimesKey(recipient)))?.d as number[] | undefined) ?? []
    },

    async putMailTimes(recipient, sentAtMs) {
      await table.put(row(mailTimesKey(recipient), { d: sentAtMs }))
    },
  }
}
