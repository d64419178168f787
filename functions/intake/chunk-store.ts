import type { BooksReader } from '../../shared-lib/ledger/books.ts'
import { heldOf, peerEntryOf, recordOf } from '../../shared-lib/ledger/judge-record.ts'
import type { Ledger, PeerEntry, RefusedRow, Upload } from '../../shared-lib/ledger/ledger.ts'
import { inParallel } from '../../shared-lib/ledger/parallel.ts'
import type { UploadEntry } from '../../shared-lib/ledger/read-upload.ts'
import type { Clock } from '../../shared-lib/ports/clock.ts'

interface ChunkDeps {
  ledger: Ledger
  books: BooksReader
  clock: Clock
  newId(): string
}
type Placed = UploadEntry & { place: number }
type Outcome = 'accepted' | 'already-there' | 'held' | 'refused'

/** How many single conditional writes are under way at once. */
const WRITES_AT_ONCE = 24

/**
 * Stores one chunk of an upload: surveys by single conditional writes, peer entries and due marks by batch. The marks come last:
 * the upload's own message guards the chunk until its checkpoint is written, and a repeat marks again.
 */
export function createChunkStore({ ledger, books, clock, newId }: ChunkDeps) {
  return async (upload: Upload, chunk: Placed[]): Promise<{ upload: Upload; refused: RefusedRow[] }> => {
    const nowIso = new Date(clock.nowMs()).toISOString()
    const refused: RefusedRow[] = []
    const peers: PeerEntry[] = []
    const touched = new Set<string>()
    const tally: Record<Outcome, number> = { accepted: 0, 'already-there': 0, held: 0, refused: 0 }
    await books.prefetch(chunk.flatMap((e) => (e.kind === 'survey' ? [e.survey] : [])))

    async function take(entry: Placed & { kind: 'survey' }): Promise<Outcome> {
      const { survey } = entry
      const found = await books.booksFor(survey)
      const origin = { via: 'upload' as const, by: upload.by, uploadId: upload.id, entry: entry.place }
      const mine = (from: { uploadId?: string; entry?: number }) =>
        from.uploadId === upload.id && from.entry === entry.place
      if (!found) {
        const { outcome } = await ledger.holdSurvey(heldOf(survey, origin, nowIso))
        if (outcome === 'conflict') {
          refused.push(conflict(entry, survey.surveyRef))
          return 'refused'
        }
        return 'held'
      }
      if (upload.sites !== '*' && found.siteId !== null && !upload.sites.includes(found.siteId)) {
        refused.push(notYours(entry, survey.electrodeId ?? null))
        return 'refused'
      }
      const record = recordOf(survey, origin, nowIso, found.siteId, found.books)
      const { outcome, stored } = await ledger.putSurvey(record)
      if (outcome === 'conflict') {
        refused.push(conflict(entry, survey.surveyRef))
        return 'refused'
      }
      const peer = peerEntryOf(stored)
      if (peer) peers.push(peer)
      if (record.subject.kind === 'electrode') touched.add(record.subject.id)
      return outcome === 'stored' || mine(stored.receivedFrom) ? 'accepted' : 'already-there'
    }

    await inParallel(chunk, WRITES_AT_ONCE, async (entry) => {
      if (entry.kind === 'refused') {
        refused.push(...entry.refused)
        tally.refused++
      } else tally[await take(entry)]++
    })
    await ledger.putPeerEntries(peers)
    if (touched.size > 0) await ledger.markDue([...touched], { stamp: newId(), nowIso, uploadId: upload.id })

    refused.sort((a, b) => (a.row ?? 0) - (b.row ?? 0))
    const rows = new Set(refused.map((r) => r.row))
    const lastRow = Math.max(upload.rowsRead, ...chunk.map((e) => e.lastRow))
    return {
      refused,
      upload: {
        ...upload,
        checkpoint: upload.checkpoint + chunk.length,
        rowsRead: lastRow,
        surveysAccepted: upload.surveysAccepted + tally.accepted,
        surveysAlreadyThere: upload.surveysAlreadyThere + tally['already-there'],
        surveysHeld: upload.surveysHeld + tally.held,
        surveysRefused: upload.surveysRefused + tally.refused,
        rowsRefused: upload.rowsRefused + rows.size,
      },
    }
  }
}

function conflict(entry: Placed & { kind: 'survey' }, surveyRef: string): RefusedRow {
  return {
    kind: 'refused',
    row: entry.firstRow,
    column: 'survey_ref',
    value: surveyRef,
    code: 'survey-conflict',
    problem: `A survey ${surveyRef} of this electrode is already kept with other content. If this one corrects it, give it a new survey_ref and name the old one in "corrects".`,
    surveyRef,
  }
}

function notYours(entry: Placed & { kind: 'survey' }, electrodeId: string | null): RefusedRow {
  return {
    kind: 'refused',
    row: entry.firstRow,
    column: 'electrode_id',
    value: electrodeId,
    code: 'other-site',
    problem:
      'This electrode belongs to a site you do not hand in for. Ask the quality team to hand it in, or check the id.',
    surveyRef: entry.survey.surveyRef,
  }
}
