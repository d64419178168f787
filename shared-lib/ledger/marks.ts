import type { DueMark } from './kept/mark.ts'
import {
  allShards,
  electrodeMarksPrefix,
  markKey,
  marksPk,
  registerKey,
  SHARDS,
  siteMarksPk,
  siteMarksPrefix,
} from './keys.ts'
import type { Ledger } from './ledger.ts'
import { inParallel } from './parallel.ts'
import { keyText, type Row, row } from './rows.ts'
import { packTests, type ShortTests, unpackTests } from './site-history.ts'
import { squeezed, unsqueezed } from './squeeze.ts'
import type { TableAccess } from './table-access.ts'

type MarksArea = Pick<Ledger, 'markDue' | 'putMarks' | 'getMark' | 'marksOfSite' | 'clearMarks' | 'listMarks'>
const CLEARED_AT_ONCE = 8

function markRow(mark: DueMark): Row {
  const { news, ...d } = mark
  const key = markKey(mark.siteId, mark.electrodeId, mark.portion)
  if (!news) return row(key, { stamp: mark.stamp, d })
  return row(key, {
    stamp: mark.stamp,
    d,
    booksAt: news.booksAt,
    ...(news.first ? { first: true } : {}),
    z: squeezed(JSON.stringify(packTests(news.tests))),
  })
}

function markOf(r: Row): DueMark {
  const d = r.d as DueMark
  if (r.z === undefined) return d
  const packed = JSON.parse(unsqueezed(r.z as Uint8Array)) as ShortTests
  return {
    ...d,
    news: {
      tests: unpackTests(packed, d),
      booksAt: r.booksAt as Record<string, string>,
      ...(r.first ? { first: true as const } : {}),
    },
  }
}

/**
 * Due marks, by site. An electrode as a whole has one: a later mark replaces the earlier, and only the stamp that was read can be
 * cleared. Each portion of an upload leaves one of its own with the tests it stored, so that nobody has to read them again.
 */
export function marksArea(table: TableAccess): MarksArea {
  async function siteOf(electrodeId: string): Promise<string> {
    const register = await table.get(registerKey(electrodeId))
    return register ? String(register.siteId) : ''
  }

  return {
    async markDue(electrodeIds, { stamp, nowIso, uploadId }) {
      const known = await table.getMany(electrodeIds.map(registerKey))
      const marks = electrodeIds.map((electrodeId): DueMark => {
        const register = known.get(keyText(registerKey(electrodeId)))
        return {
          electrodeId,
          siteId: register ? String(register.siteId) : '',
          portion: '',
          stamp,
          markedAt: nowIso,
          ...(uploadId === undefined ? {} : { uploadId }),
        }
      })
      await table.writeMany(marks.map(markRow))
      return marks
    },
    putMarks: (marks) => table.writeMany(marks.map(markRow)),
    async getMark(electrodeId) {
      const sites = [...new Set([await siteOf(electrodeId), ''])]
      for (const siteId of sites) {
        const partition = siteMarksPk(siteId)
        const prefix = electrodeMarksPrefix(siteId, electrodeId)
        const { rows } = await table.query({ partition, prefix, limit: 1 })
        if (rows[0]) return markOf(rows[0])
      }
      return null
    },
    async marksOfSite(siteId) {
      const rows = await table.queryAll({ partition: siteMarksPk(siteId), prefix: siteMarksPrefix(siteId) })
      return rows.map(markOf)
    },
    async clearMarks(marks) {
      const keyOf = (m: DueMark) => markKey(m.siteId, m.electrodeId, m.portion)
      // A mark with news is never put anew with other words; the others may have been, and then they stay.
      const [portions, whole] = [marks.filter((m) => m.news), marks.filter((m) => !m.news)]
      await table.writeMany([], portions.map(keyOf))
      await inParallel(whole, CLEARED_AT_ONCE, (m) =>
        table.delete(keyOf(m), { expression: 'stamp = :stamp', values: { ':stamp': m.stamp } }),
      )
    },
    async listMarks() {
      const shards = allShards(SHARDS.marks).map(marksPk)
      const rows = await Promise.all(shards.map((partition) => table.queryAll({ partition })))
      return rows.flat().map((r) => r.d as DueMark)
    },
  }
}
