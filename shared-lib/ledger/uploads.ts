import { createHash } from 'node:crypto'
import { pageLimit, readCursor, writeCursor } from './cursor.ts'
import type { RefusedRow, Upload } from './kept/upload.ts'
import { allShards, personUploadsPk, refusedPk, SHARDS, uploadKey, uploadListing, uploadsPk } from './keys.ts'
import type { Ledger } from './ledger.ts'
import { mergedPage } from './merged-page.ts'
import { keyText, type Row, row } from './rows.ts'
import { storable } from './storable.ts'
import { INDEX } from './table.ts'
import type { TableAccess } from './table-access.ts'

type UploadsArea = Pick<
  Ledger,
  | 'putUpload'
  | 'changeDraft'
  | 'setDraftAside'
  | 'removeDraft'
  | 'getUpload'
  | 'listUploads'
  | 'checkpointUpload'
  | 'listRefused'
>

const uploadRow = (u: Upload): Row =>
  row(uploadKey(u.id), { d: u, checkpoint: u.checkpoint, state: u.state, ...uploadListing(u) })

const DRAFT_STATE = { names: { '#state': 'state' }, values: { ':draft': 'draft' } }

/** In the order of the file's rows; what speaks of the whole file comes first. The same refusal again has the same key. */
function refusedRow(uploadId: string, refused: RefusedRow): Row {
  const d = storable(refused).value
  const words = JSON.stringify(Object.entries(d as object).sort(([a], [b]) => (a < b ? -1 : 1)))
  const digest = createHash('sha256').update(words).digest('base64url').slice(0, 16)
  return row(
    { pk: refusedPk(uploadId), sk: `${String(refused.row ?? 0).padStart(10, '0')}#${digest}` },
    { d },
  )
}

/** Uploads: progress in one item, refused rows in a partition of their own. */
export function uploadsArea(table: TableAccess): UploadsArea {
  return {
    async putUpload(upload) {
      await table.put(uploadRow(upload))
    },
    changeDraft: (upload) =>
      table.put(uploadRow(upload), {
        ...DRAFT_STATE,
        expression: '#state = :draft AND attribute_not_exists(setAside)',
      }),
    setDraftAside: (uploadId) =>
      table.update(
        uploadKey(uploadId),
        { setAside: true },
        { ...DRAFT_STATE, expression: '#state = :draft' },
      ),
    async removeDraft(uploadId) {
      await table.delete(uploadKey(uploadId), {
        ...DRAFT_STATE,
        expression: '#state = :draft AND attribute_exists(setAside)',
      })
    },
    async getUpload(uploadId) {
      const stored = await table.get(uploadKey(uploadId))
      return stored && (stored.d as Upload)
    },
    listUploads: (q) =>
      mergedPage(table, q, {
        list: q.by === undefined ? 'uploads' : `uploads by ${q.by}`,
        index: q.by === undefined ? INDEX.listing : INDEX.owner,
        partitions: q.by === undefined ? allShards(SHARDS.uploads).map(uploadsPk) : [personUploadsPk(q.by)],
        descending: true,
        async resolve(rows) {
          const found = await table.getMany(rows)
          return rows.map((r) => (found.get(keyText(r))?.d as Upload | undefined) ?? null)
        },
      }),

    async checkpointUpload(upload, refused) {
      // Refused rows first: counts that are seen are never ahead of the rows they count.
      await table.writeMany(refused.map((r) => refusedRow(upload.id, r)))
      // A slow twin of a message never takes progress back: not to an earlier place, and not from done to working.
      await table.put(uploadRow(upload), {
        expression:
          'attribute_not_exists(pk) OR checkpoint < :place OR (checkpoint = :place AND (#state <> :done OR :state = :done))',
        values: { ':place': upload.checkpoint, ':state': upload.state, ':done': 'done' },
        names: { '#state': 'state' },
      })
    },

    async listRefused(uploadId, q) {
      const list = `refused ${uploadId}`
      const after = readCursor(list, q.cursor)
      const { rows, more } = await table.query({
        partition: refusedPk(uploadId),
        limit: pageLimit(q),
        ...(after === null ? {} : { after }),
      })
      const last = rows.at(-1)
      return {
        items: rows.map((r) => r.d as RefusedRow),
        next: more && last ? writeCursor(list, last.sk) : null,
      }
    },
  }
}
