import type { BooksReader } from '../../shared-lib/ledger/books.ts'
import { heldOf, knownTestOf, recordOf, subjectOrThrow } from '../../shared-lib/ledger/judge-record.ts'
import type { DueMark } from '../../shared-lib/ledger/kept/mark.ts'
import type { SurveyRecord } from '../../shared-lib/ledger/kept/survey.ts'
import type { RefusedRow, Upload } from '../../shared-lib/ledger/kept/upload.ts'
import type { Ledger } from '../../shared-lib/ledger/ledger.ts'
import { inParallel } from '../../shared-lib/ledger/parallel.ts'
import type { UploadEntry } from '../../shared-lib/ledger/read-upload.ts'
import type { Clock } from '../../shared-lib/ports/clock.ts'
import { conflict, notYours } from './refusals.ts'
import { storeSurveys, type ToStore } from './store-surveys.ts'

interface ChunkDeps {
  ledger: Ledger
  books: BooksReader
  clock: Clock
  newId(): string
}
export type Placed = UploadEntry & { place: number }
type PlacedSurvey = Placed & { kind: 'survey' }
type Outcome = 'accepted' | 'already-there' | 'held' | 'refused'

/** How many single writes are under way at once. */
const WRITES_AT_ONCE = 24

/**
 * Stores one portion of an upload and leaves a mark for each electrode it touched, with the tests it stored. The marks come last:
 * the upload's own message guards the portion until its checkpoint is written, and a repeat marks again.
 */
export function createChunkStore({ ledger, books, clock, newId }: ChunkDeps) {
  const runId = newId()
  return async (upload: Upload, chunk: Placed[]): Promise<{ upload: Upload; refused: RefusedRow[] }> => {
    const nowIso = new Date(clock.nowMs()).toISOString()
    const refused: RefusedRow[] = []
    const tally: Record<Outcome, number> = { accepted: 0, 'already-there': 0, held: 0, refused: 0 }
    const refuse = (row: RefusedRow) => {
      refused.push(row)
      tally.refused++
    }
    await books.prefetch(chunk.flatMap((e) => (e.kind === 'survey' ? [e.survey] : [])))

    const strangers: PlacedSurvey[] = []
    const known: (ToStore & { entry: PlacedSurvey })[] = []
    for (const entry of chunk) {
      if (entry.kind === 'refused') {
        refused.push(...entry.refused)
        tally.refused++
        continue
      }
      const found = await books.booksFor(entry.survey)
      if (!found) strangers.push(entry)
      else if (upload.sites !== '*' && found.siteId !== null && !upload.sites.includes(found.siteId))
        refuse(notYours(entry))
      else {
        let record: SurveyRecord | undefined
        const { survey } = entry
        known.push({
          ...{ entry, subject: subjectOrThrow(survey), surveyRef: survey.surveyRef },
          judged: () => (record ??= recordOf(survey, originOf(upload, entry), nowIso, found)),
        })
      }
    }
    await inParallel(strangers, WRITES_AT_ONCE, async (entry) => {
      const { outcome } = await ledger.holdSurvey(
        heldOf(entry.survey, originOf(upload, entry), nowIso, upload.sites),
      )
      if (outcome === 'conflict') refuse(conflict(entry))
      else tally.held++
    })
    const stored = await storeSurveys({ ledger, clock, runId }, known)
    const first = new Set(known.filter((_, i) => stored[i]!.first).map((k) => k.subject.id))
    const news: SurveyRecord[] = []
    for (const [i, { entry, judged }] of known.entries()) {
      const { outcome, kept } = stored[i]!
      if (outcome === 'conflict') {
        refuse(conflict(entry))
        continue
      }
      const mine = kept.uploadId === upload.id && kept.entry === entry.place
      tally[outcome === 'stored' || mine ? 'accepted' : 'already-there']++
      // One that was there is news only where this upload itself was cut short; what is stored may then be judged by older books.
      if (outcome === 'stored') news.push(judged())
      else if (mine) news.push({ ...judged(), booksAt: '' })
    }
    await ledger.putMarks(marksOf(news, { upload, nowIso, stamp: newId(), first }))

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

const originOf = (upload: Upload, entry: Placed): SurveyRecord['receivedFrom'] => ({
  via: 'upload',
  by: upload.by,
  uploadId: upload.id,
  entry: entry.place,
})

/** One mark an electrode, keyed by upload and place, so that no portion's mark takes another's away and a repeat is the same. */
function marksOf(
  records: readonly SurveyRecord[],
  from: { upload: Upload; nowIso: string; stamp: string; first: ReadonlySet<string> },
): DueMark[] {
  const { upload, nowIso, stamp, first } = from
  const ofElectrodes = records.filter((r) => r.subject.kind === 'electrode' && r.siteId !== null)
  const byElectrode = Map.groupBy(ofElectrodes, (r) => r.subject.id)
  const soundings = new Set(records.flatMap((r) => (r.subject.kind === 'site' ? [r.subject.id] : [])))
  const common = { stamp, markedAt: nowIso, uploadId: upload.id }
  const ofSites = [...soundings].map((siteId) => ({ electrodeId: '', siteId, portion: '', ...common }))
  const ofTests = [...byElectrode].map(([electrodeId, own]) => {
    const siteId = own[0]!.siteId!
    return {
      electrodeId,
      siteId,
      portion: `${upload.id}.${upload.checkpoint}`,
      ...common,
      news: {
        ...(first.has(electrodeId) ? { first: true as const } : {}),
        tests: own.map((r) => knownTestOf(r, siteId)),
        booksAt: Object.fromEntries(
          // One that is not sure of its books speaks for all of its instrument.
          own
            .toSorted((a, b) => (a.booksAt ? 1 : 0) - (b.booksAt ? 1 : 0))
            .reverse()
            .map((r) => [r.survey.instrumentId ?? '', r.booksAt ?? '']),
        ),
      },
    }
  })
  return [...ofSites, ...ofTests]
}
