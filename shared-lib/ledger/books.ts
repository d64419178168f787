import { JUDGE_VERSION } from '../evaluate/defaults.ts'
import type { SiteSoil } from '../evaluate/evaluation.ts'
import type { Books } from '../evaluate/in-force.ts'
import type { Calibration, Electrode } from '../survey/register.ts'
import { type Survey, subjectOf } from '../survey/survey.ts'
import type { ElectrodeBooks, ElectrodeRecord } from './kept/register.ts'
import type { SiteHeader } from './kept/site.ts'
import type { Ledger } from './ledger.ts'
import { canonicalJson } from './same-json.ts'
import { shortDigest } from './short-digest.ts'

/** The books of one survey, its site, and a fingerprint: books with the same one judge alike. */
interface OpenBooks {
  books: Books
  siteId: string | null
  booksAt: string
}

/** The dated books a survey is judged by, read from the ledger. */
export interface BooksReader {
  /** Reads ahead for many surveys at once, so that each electrode is asked for once. */
  prefetch(surveys: readonly Survey[]): Promise<void>
  /** The electrode's register entry, as its surveys will be judged by it; null when it is not in the register. */
  electrodeOf(electrodeId: string): Promise<ElectrodeRecord | null>
  /** Null when the survey's electrode is not in the register. */
  booksFor(survey: Survey): Promise<OpenBooks | null>
}

type BookLedger = Pick<Ledger, 'getManyBooks' | 'getBooksAtSite' | 'getSiteHeader' | 'getCalibrations'>

/** Stands for the register's revision, judge, calibrations and soil; compare asks for it without reading limits or surveys. */
export const booksFingerprint = (
  rev: number,
  calibrations: readonly Calibration[],
  soil: SiteSoil | undefined,
): string => shortDigest(canonicalJson([JUDGE_VERSION, rev, calibrations, soil ?? null]))

/** A site's soil or an instrument's check has no electrode: it is judged by the instrument alone. */
const noElectrode = (siteId: string | null): ElectrodeBooks => {
  const electrode: Electrode = { electrodeId: '', siteId: siteId ?? '', kind: 'other' }
  return { record: { electrode, versions: [{ from: '', electrode }] }, limits: [], rev: 0 }
}

/**
 * Keeps what it has read for as long as it lives: one form post, or one upload. What a single hand-in reads may be a moment old;
 * compare sees by the fingerprint when that was too old, and judges again.
 */
export function createBooksReader(ledger: BookLedger): BooksReader {
  const electrodes = new Map<string, Promise<ElectrodeBooks | null>>()
  const headers = new Map<string, Promise<SiteHeader | null>>()
  const calibrations = new Map<string, Promise<Calibration[]>>()
  const fingerprints = new Map<string, string>()
  const once = <T>(cache: Map<string, Promise<T>>, key: string, read: () => Promise<T>): Promise<T> => {
    let found = cache.get(key)
    if (!found) {
      found = read()
      cache.set(key, found)
      found.catch(() => cache.delete(key))
    }
    return found
  }
  const electrodeBooks = (id: string) =>
    once(electrodes, id, async () => {
      const found = await ledger.getBooksAtSite(id)
      if (!found) return null
      const { siteId } = found.books.record.electrode
      if (!headers.has(siteId)) headers.set(siteId, Promise.resolve(found.header))
      return found.books
    })
  const headerOf = (siteId: string | null) =>
    siteId ? once(headers, siteId, () => ledger.getSiteHeader(siteId)) : null
  async function calibrationsOf(instrumentId: string | undefined, header: SiteHeader | null) {
    if (!instrumentId) return []
    return (
      header?.calibrations[instrumentId] ??
      once(calibrations, instrumentId, () => ledger.getCalibrations(instrumentId, { strong: false }))
    )
  }
  function fingerprint(own: ElectrodeBooks, known: Calibration[], soil?: SiteSoil, instrumentId = '') {
    const key = `${own.record.electrode.electrodeId}\n${instrumentId}`
    const found = fingerprints.get(key) ?? booksFingerprint(own.rev, known, soil)
    fingerprints.set(key, found)
    return found
  }

  return {
    async prefetch(surveys) {
      const subjects = surveys.map(subjectOf).filter((s) => s?.kind === 'electrode')
      const unread = [...new Set(subjects.map((s) => s!.id))].filter((id) => !electrodes.has(id))
      if (unread.length === 0) return
      const found = await ledger.getManyBooks(unread)
      for (const id of unread) electrodes.set(id, Promise.resolve(found.get(id) ?? null))
    },

    electrodeOf: async (electrodeId) => (await electrodeBooks(electrodeId))?.record ?? null,

    async booksFor(survey) {
      const subject = subjectOf(survey)
      const own =
        subject?.kind === 'electrode' ? await electrodeBooks(subject.id) : noElectrode(survey.siteId ?? null)
      if (!own) return null
      const siteId = own.record.electrode.siteId || null
      const header = await headerOf(siteId)
      const known = await calibrationsOf(survey.instrumentId, header)
      const soil = subject?.kind === 'electrode' ? header?.soil : undefined
      const books = { versions: own.record.versions, limits: own.limits, calibrations: known }
      return {
        books: soil ? { ...books, siteSoil: soil } : books,
        siteId,
        booksAt: fingerprint(own, known, soil, survey.instrumentId),
      }
    },
  }
}
