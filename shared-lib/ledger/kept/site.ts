import type { SiteSoil } from '../../evaluate/evaluation.ts'
import type { Calibration } from '../../survey/register.ts'
import type { ElectrodeHistory } from '../site-history.ts'
import type { RecentSurvey } from './survey.ts'

/** What the site's electrodes share when they are judged. */
export interface SiteHeader {
  /** Of every instrument that has tested here. */
  calibrations: Record<string, Calibration[]>
  /** From the site's four-point surveys; absent without any. */
  soil?: SiteSoil
}

/** An electrode's short history as it is stored: its text, and the revision that a rewrite must name. */
export interface StoredHistory {
  history: ElectrodeHistory
  text: string
  rev: number
}

export interface SiteFile {
  header: SiteHeader | null
  histories: Map<string, StoredHistory>
}

/** What schema version 1 kept of a test under its site and its instrument. */
export interface PeerOfV1 {
  instrumentId?: string
}

/** What the electrodes of a site share, and their short histories. */
export interface KeptSites {
  readSite(siteId: string): Promise<SiteFile>
  getSiteHeader(siteId: string): Promise<SiteHeader | null>
  putSiteHeader(siteId: string, header: SiteHeader): Promise<void>
  /** Of electrodes that are no longer this site's. */
  dropHistories(siteId: string, electrodeIds: string[]): Promise<void>
  /** Which of these has a comparison seen? */
  compared(surveys: RecentSurvey[]): Promise<boolean[]>
  /** Remembers that an instrument has tested at a site. */
  putInstrumentSite(instrumentId: string, siteId: string): Promise<void>
  sitesOfInstrument(instrumentId: string): Promise<string[]>
}
