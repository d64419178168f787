import type { KnownTest } from '../site-history.ts'

/** Something about an electrode has not been compared yet. */
export interface DueMark {
  /** '' for the site's soil: there is a new four-point survey. */
  electrodeId: string
  /** '' while the electrode is not in the register. */
  siteId: string
  /** '' for the electrode as a whole (its words, a decision, work …), else the portion of an upload that brought surveys. */
  portion: string
  stamp: string
  markedAt: string
  uploadId?: string
  /** Of an upload: the surveys it stored, judged, and the fingerprint of the books used, by instrument. */
  news?: {
    tests: KnownTest[]
    booksAt: Record<string, string>
    /** The electrode had no survey when these came: until it has a short history, the marks tell of all its tests. */
    first?: true
  }
}

/** What still has to be compared, and who may write many surveys at once. */
export interface KeptMarks {
  /** Marks electrodes as a whole. */
  markDue(
    electrodeIds: string[],
    mark: { stamp: string; nowIso: string; uploadId?: string },
  ): Promise<DueMark[]>
  putMarks(marks: DueMark[]): Promise<void>
  /** Any mark of this electrode. */
  getMark(electrodeId: string): Promise<DueMark | null>
  /** Of a site ('' = of electrodes that are not registered), read strongly. */
  marksOfSite(siteId: string): Promise<DueMark[]>
  /** Only those whose stamp is unchanged go. */
  clearMarks(marks: DueMark[]): Promise<void>
  /** All there are, without their news. */
  listMarks(): Promise<DueMark[]>
  /** Brings what an older program has stored to the present schema. Returns how many electrodes are marked for that, 0 when none. */
  upgrade(mark: { stamp: string; nowIso: string }): Promise<number>
  /**
   * One writer at a time may put surveys by batch, and only of these electrodes: single hand-ins of them wait meanwhile. True when it
   * is `by`'s turn until `untilMs`.
   */
  takeWritingTurn(
    by: string,
    turn: { nowMs: number; untilMs: number; electrodeIds: string[] },
  ): Promise<boolean>
  endWritingTurn(by: string): Promise<void>
  /** Until when surveys of this electrode are being written by batch, ms; null when they are not. */
  lockedUntil(electrodeId: string): Promise<number | null>
}
