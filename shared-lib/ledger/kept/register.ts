import type { Calibration, Electrode, Limit, Work } from '../../survey/register.ts'
import type { RetestRequest } from '../retest.ts'
import type { FleetStanding, SiteStanding } from '../standing.ts'
import type { Page, PageRequest, WriteOutcome } from './page.ts'
import type { SiteHeader } from './site.ts'

/** The register holds each electrode's dated versions; `versions` is sorted by `from`, the first has from ''. */
export interface ElectrodeVersion {
  /** ISO instant from which these words are in force; '' = always. */
  from: string
  electrode: Electrode
}

export interface ElectrodeRecord {
  /** The newest version: what pages show. */
  electrode: Electrode
  versions: ElectrodeVersion[]
  /** Last test that was made (outcome tested), and when the next is due; absent when never tested or no interval. */
  lastTestedAt?: string
  dueOn?: string
  /** A test asked for before its time; `dueOn` is then no later than it says. */
  retest?: RetestRequest
}

/** What an electrode's surveys are judged by. `rev` changes with every change of words or limits. */
export interface ElectrodeBooks {
  record: ElectrodeRecord
  limits: Limit[]
  rev: number
}

interface SiteSummary {
  siteId: string
  electrodes: number
}

/** The register: electrodes in their dated words, limits, calibrations, work, and how every site stands. */
export interface KeptRegister {
  putElectrode(electrode: Electrode, at: { nowIso: string; validFrom?: string }): Promise<WriteOutcome>
  /** The register's words, without the dates of tests. */
  getElectrode(electrodeId: string): Promise<ElectrodeRecord | null>
  /** Many at once, for intake; absent ids are absent from the map. */
  getElectrodes(electrodeIds: string[]): Promise<Map<string, ElectrodeRecord>>
  /** Words and limits with their revision; limits are asked for only where there are any. */
  getManyBooks(electrodeIds: string[]): Promise<Map<string, ElectrodeBooks>>
  /** The same of one electrode, with the header of its site, mostly in one read. */
  getBooksAtSite(electrodeId: string): Promise<{ books: ElectrodeBooks; header: SiteHeader | null } | null>
  listElectrodes(q: PageRequest & { siteId?: string }): Promise<Page<ElectrodeRecord>>
  /** Those whose tag is this, whatever its capitals; few. */
  electrodesByTag(tag: string): Promise<ElectrodeRecord[]>
  listSites(): Promise<SiteSummary[]>
  getFleetStanding(): Promise<FleetStanding>
  putFleetStanding(news: { countedAt: string; changed: SiteStanding[]; gone: string[] }): Promise<void>
  putCalibration(calibration: Calibration): Promise<WriteOutcome>
  getCalibrations(instrumentId: string, options?: { strong: boolean }): Promise<Calibration[]>
  listCalibrations(): Promise<Calibration[]>
  putLimit(limit: Limit): Promise<WriteOutcome>
  getLimits(electrodeId: string): Promise<Limit[]>
  putWork(work: Work): Promise<WriteOutcome>
  getWorks(electrodeId: string): Promise<Work[]>
  /** Electrodes with tests by this instrument since a date: who must be judged again when a calibration arrives. */
  electrodesOfInstrument(instrumentId: string, fromIso: string): Promise<string[]>
  listDue(q: PageRequest & { toMonth: string; siteId?: string }): Promise<Page<ElectrodeRecord>>
}
