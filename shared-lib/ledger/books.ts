import type { Books } from '../evaluate/in-force.ts'
import type { Calibration, Electrode, Limit } from '../survey/register.ts'
import { type Survey, subjectOf } from '../survey/survey.ts'
import type { ElectrodeRecord, Ledger } from './ledger.ts'

/** The dated books a survey is judged by, read from the ledger. */
export interface BooksReader {
  /** Reads ahead for many surveys at once, so that each electrode and instrument is asked for once. */
  prefetch(surveys: readonly Survey[]): Promise<void>
  /** Null when the survey's electrode is not in the register. */
  booksFor(survey: Survey): Promise<{ books: Books; siteId: string | null } | null>
}

type BookLedger = Pick<Ledger, 'getElectrode' | 'getElectrodes' | 'getLimits' | 'getCalibrations'>

/** Keeps what it has read for as long as it lives: one form post, or one upload. */
export function createBooksReader(ledger: BookLedger): BooksReader {
  const electrodes = new Map<string, Promise<ElectrodeRecord | null>>()
  const limits = new Map<string, Promise<Limit[]>>()
  const calibrations = new Map<string, Promise<Calibration[]>>()
  const once = <T>(cache: Map<string, Promise<T>>, key: string, read: () => Promise<T>): Promise<T> => {
    let found = cache.get(key)
    if (!found) {
      found = read()
      cache.set(key, found)
      found.catch(() => cache.delete(key))
    }
    return found
  }
  const calibrationsOf = async (instrumentId: string | undefined): Promise<Calibration[]> =>
    instrumentId ? once(calibrations, instrumentId, () => ledger.getCalibrations(instrumentId)) : []

  return {
    async prefetch(surveys) {
      const subjects = surveys.map(subjectOf).filter((s) => s?.kind === 'electrode')
      const unread = [...new Set(subjects.map((s) => s!.id))].filter((id) => !electrodes.has(id))
      if (unread.length === 0) return
      const found = await ledger.getElectrodes(unread)
      for (const id of unread) electrodes.set(id, Promise.resolve(found.get(id) ?? null))
    },

    async booksFor(survey) {
      const subject = subjectOf(survey)
      if (subject?.kind !== 'electrode') {
        // A site's soil or an instrument's check has no electrode: it is judged by the instrument alone.
        const siteId = survey.siteId ?? null
        const electrode: Electrode = { electrodeId: '', siteId: siteId ?? '', kind: 'other' }
        const books = {
          versions: [{ from: '', electrode }],
          limits: [],
          calibrations: await calibrationsOf(survey.instrumentId),
        }
        return { books, siteId }
      }
      const { id } = subject
      const record = await once(electrodes, id, () => ledger.getElectrode(id))
      if (!record) return null
      const books = {
        versions: record.versions,
        limits: await once(limits, id, () => ledger.getLimits(id)),
        calibrations: await calibrationsOf(survey.instrumentId),
      }
      return { books, siteId: record.electrode.siteId }
    },
  }
}
