import type { JudgedSurvey, SiteSoil } from '../evaluate/evaluation.ts'
import type { Assessment, Decision, Parameters } from '../history/assessment.ts'
import type { FindingChange } from '../history/learn/diff-assessments.ts'
import type { Person } from '../ports/identity.ts'
import type { Finding } from '../survey/finding.ts'
import type { Calibration, Electrode, Limit, Work } from '../survey/register.ts'
import type { Subject, Survey } from '../survey/survey.ts'
import type { RetestRequest } from './retest.ts'
import type { ElectrodeHistory, KnownTest } from './site-history.ts'
import type { FleetStanding, SiteStanding } from './standing.ts'

/**
 * The ledger: everything that is kept, as questions and writes in the words of the trade. Only this folder knows the table.
 * Each write touches one item conditionally or many items by batch; there are no transactions, so every method may be repeated.
 */

export interface Page<T> {
  items: T[]
  /** Opaque; null when there is no more. */
  next: string | null
}
export interface PageRequest {
  limit?: number
  cursor?: string
}

export type WriteOutcome = 'created' | 'changed' | 'same'

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

/** One stored survey. `judged` can always be derived again from `survey` and the register. */
export interface SurveyRecord {
  id: string
  subject: Subject
  siteId: string | null
  survey: Survey
  contentHash: string
  receivedAt: string
  /** `entry` is the survey's place in its upload: a repeat of the same chunk after a crash is told from a repeat in the file. */
  receivedFrom: { via: 'form' | 'api' | 'upload'; by: string; uploadId?: string; entry?: number }
  /** The evaluation of the survey by itself; what earlier tests say of it is in the electrode's assessment. */
  judged: JudgedSurvey
  /** Fingerprint of judge version and books: while it is the same, `judged` need not be worked out again. */
  judgedBy: string
  /** Fingerprint of the books that were open when it was judged: the same now means that nothing has to be looked up. */
  booksAt?: string
}
type PutSurveyOutcome = 'stored' | 'already-there' | 'conflict'

/** A survey whose electrode is not in the register: kept whole until someone matches it. */
export interface HeldSurvey {
  id: string
  electrodeId: string
  survey: Survey
  contentHash: string
  receivedAt: string
  receivedFrom: SurveyRecord['receivedFrom']
  /** The sites its sender hands in for; absent: all. Asked again when the electrode, and with it the site, is known. */
  sites?: string[]
}

export type FindingState = 'open' | 'closed'
/** A finding in the review queue (severities warning and urgent). */
export interface FindingItem extends Finding {
  /** Names its electrode, so it can be found from the id alone. */
  id: string
  state: FindingState
  electrodeId: string
  siteId: string
  surveyRef: string
  testedAt: string
  /** When the survey that raised it was received: age counts from here. */
  openedAt: string
  responsibleEmail?: string
  /** Of its survey, so that the queue can be narrowed by what several findings have in common. */
  instrumentId?: string
  tester?: string
  /** The newest decision about it, also one that leaves it open; what compare writes never changes it. */
  ruling?: Decision
  /** Who says that they are at it; lapses by itself. */
  claim?: FindingClaim
  /** Why it is closed: a decision, or the later survey that settled it. */
  closedBy?: { decision: Decision } | { laterSurveyRef: string }
}

export interface FindingClaim {
  /** Id of the person, and the name people know. */
  by: string
  name: string
  untilMs: number
}

/** Everything kept about one electrode, read strongly. */
export interface ElectrodeFile {
  record: ElectrodeRecord
  /** Revision of the register's words and limits. */
  rev: number
  /** Surveys that a comparison has seen, by reference: the others are still on their way. */
  compared: ReadonlySet<string>
  limits: Limit[]
  works: Work[]
  surveys: SurveyRecord[]
  findings: FindingItem[]
  decisions: Decision[]
  assessment: Assessment | null
  /** The stored findings against prior tests, whatever the short history says; null when none are stored. */
  storedFindings: Assessment['findings'] | null
}

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
  news?: { tests: KnownTest[]; booksAt: Record<string, string> }
}

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
/** A survey that was handed in singly. */
export interface RecentSurvey {
  siteId: string
  electrodeId: string
  surveyRef: string
  receivedAt: string
}

/** What a comparison changes about one electrode. */
export interface AssessmentChange {
  rejudged: SurveyRecord[]
  /** Never stored and never decided about: they go by batch. */
  newFindings: FindingItem[]
  putFindings: FindingItem[]
  /** Their ids. */
  removeFindings: string[]
  /** Null when the stored one is right. */
  assessment: Pick<Assessment, 'findings'> | null
  history: ElectrodeHistory
  /** The stored history that this one follows; null when there was none. */
  seen: Pick<StoredHistory, 'rev'> | null
}

/** What schema version 1 kept of a test under its site and its instrument. */
export interface PeerOfV1 {
  instrumentId?: string
}

/** Parameters that the fleet has taught, and what they would change: they judge only when somebody has adopted them. */
export interface LearntVersion {
  parameters: Parameters
  learntAt: string
  /** How many findings would appear, go, become graver or milder, or have another chance; and the first of them by name. */
  counts: Record<FindingChange['change'], number>
  changes: FindingChange[]
}
export interface Adoption {
  version: string
  by: string
  at: string
}

export type UploadState = 'draft' | 'received' | 'working' | 'done' | 'failed'
export interface RefusedRow {
  kind: 'refused'
  row: number | null
  column: string | null
  value: string | null
  code: string
  problem: string
  surveyRef?: string
}
interface UploadCounts {
  rowsRead: number
  rowsTotal: number | null
  surveysAccepted: number
  surveysAlreadyThere: number
  surveysHeld: number
  surveysRefused: number
  rowsRefused: number
}
export interface Upload extends UploadCounts {
  id: string
  state: UploadState
  fileName: string
  archiveKey: string
  byteLength: number
  by: string
  role: string
  sites: string[] | '*'
  receivedAt: string
  finishedAt?: string
  /** Reading options declared with the upload (decimal sign, date pattern, column map). */
  options: Record<string, unknown>
  /** Columns not known, named once. */
  ignoredColumns: string[]
  /** Where intake goes on after a crash: surveys already dealt with. */
  checkpoint: number
  /** Why the whole file failed. */
  failure?: string
  /** The upload whose refused rows this one carries, mended. */
  mends?: string
}

/** Something an engineer has not been told yet. */
export interface Untold {
  recipient: string
  findingId: string
  electrodeId: string
  /** Absent in what an older version queued. */
  siteId?: string
  urgent: boolean
  /** The survey was already old when it was handed in: goes to a digest. */
  old: boolean
  queuedAtMs: number
  /** Told because nobody has answered it: who was told first, and when it was raised. */
  unanswered?: { toldTo: string; since: string }
}

/** Something that was told and has ended since; `finding` is null where the stored surveys no longer show it. */
export interface Settled {
  findingId: string
  finding: FindingItem | null
}

/** How somebody wants ordinary mail; what is urgent comes at once whatever they chose. */
export interface MailChoice {
  rest: 'as-it-comes' | 'daily'
  /** Full hour of the day at which the daily mail goes, UTC. */
  digestHourUtc: number
  /** Sites whose news comes as it comes also to who has the rest once a day. */
  atOnceSites: string[]
}

/** A person's calendar feed: who they were when they signed in last, and a digest of its secret. One a person. */
export interface CalendarFeed {
  person: Person
  /** Absent: not since the link was made. */
  signedInAt?: string
  /** SHA-256 of the secret in the link, base64url: who reads the table cannot read the feed. */
  secretDigest: string
  madeAt: string
}

interface SiteSummary {
  siteId: string
  electrodes: number
}

export interface Ledger {
  // register
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
  /** Electrodes with tests by this instrument since a date: who must be judged again when a calibration arrives. */
  electrodesOfInstrument(instrumentId: string, fromIso: string): Promise<string[]>

  // surveys
  /** `siteId` of a survey handed in singly lists it among the recent ones. */
  putSurvey(record: SurveyRecord): Promise<{ outcome: PutSurveyOutcome; stored: SurveyRecord }>
  /** Many at once, without a look at what is there: only under `takeWritingTurn` and `lockElectrodes`. */
  putSurveys(records: SurveyRecord[]): Promise<void>
  getSurvey(subject: Subject, surveyRef: string): Promise<SurveyRecord | null>
  /** `strong: false` takes what is judged of one that is there as it was a moment ago. */
  getSurveys(
    keys: { subject: Subject; surveyRef: string }[],
    options?: { strong: boolean },
  ): Promise<SurveyRecord[]>
  /** Reference, content and origin of every survey of the subject, and no more. */
  surveyHeads(subject: Subject): Promise<Map<string, Pick<SurveyRecord, 'contentHash' | 'receivedFrom'>>>
  /** Surveys of a site (four-point) or an instrument (check-resistor). */
  listSurveysOf(subject: Subject): Promise<SurveyRecord[]>
  /** Those handed in singly and received within these instants, the first included, the last not. */
  recentSurveys(fromIso: string, toIso: string): Promise<RecentSurvey[]>
  recentCheckedTo(): Promise<string>
  setRecentCheckedTo(iso: string): Promise<void>
  holdSurvey(held: HeldSurvey): Promise<{ outcome: PutSurveyOutcome }>
  listHeld(q: PageRequest): Promise<Page<HeldSurvey>>
  heldFor(electrodeId: string): Promise<HeldSurvey[]>
  removeHeld(held: HeldSurvey): Promise<void>

  // one electrode
  readElectrodeFile(electrodeId: string): Promise<ElectrodeFile | null>
  /**
   * Rewrites judged parts that changed, puts and removes findings, stores the assessment, and last the history with the due date.
   * Idempotent. False when somebody else has written this electrode's history meanwhile: then all of it is to be judged anew.
   */
  writeAssessment(electrodeId: string, change: AssessmentChange): Promise<boolean>

  // one site
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

  // instruments
  /** Findings that do not follow from their electrode's site alone: put and taken away (by id), decisions kept. */
  putFindings(items: FindingItem[], removeIds: string[]): Promise<void>
  /** By id, a digest of each instrument finding that was written last. */
  getInstrumentFindings(): Promise<Record<string, string>>
  putInstrumentFindings(digests: Record<string, string>): Promise<void>

  // what the fleet has taught
  putLearnt(learnt: LearntVersion): Promise<void>
  /** Newest first. */
  listLearnt(): Promise<LearntVersion[]>
  /** False when there is no such version. */
  adoptParameters(adoption: Adoption): Promise<boolean>
  /** Null until a version was adopted: then the defaults are in force. */
  adoptedParameters(options?: {
    strong: boolean
  }): Promise<{ adoption: Adoption; parameters: Parameters } | null>

  // due marks
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
  listMarks(): Promise<DueMark[]>

  // schema
  /** Brings what an older program has stored to the present schema. Returns how many electrodes are marked for that, 0 when none. */
  upgrade(mark: { stamp: string; nowIso: string }): Promise<number>

  // writing many at once
  /** One writer at a time may put surveys by batch. True when it is `by`'s turn until `untilMs`. */
  takeWritingTurn(by: string, nowMs: number, untilMs: number): Promise<boolean>
  endWritingTurn(by: string): Promise<void>
  /** Tells single hand-ins that surveys of these electrodes are being written by batch. */
  lockElectrodes(electrodeIds: string[], untilMs: number): Promise<void>
  unlockElectrodes(electrodeIds: string[]): Promise<void>
  /** Until when, ms; null when it is not locked. */
  lockedUntil(electrodeId: string): Promise<number | null>

  // findings
  listFindings(
    q: PageRequest & { state?: FindingState | 'all'; siteId?: string; electrodeId?: string },
  ): Promise<Page<FindingItem>>
  getFinding(findingId: string): Promise<FindingItem | null>
  /** Those that there are, by id. */
  getFindings(findingIds: string[]): Promise<Map<string, FindingItem>>
  /** Appends the decision and changes the finding's state in one conditional write each. */
  addDecision(decision: Decision): Promise<FindingItem | null>
  /**
   * Puts a claim on an open finding, or takes one's own back (null). False when somebody else's claim has not lapsed at `nowMs`, or
   * the finding is gone.
   */
  claimFinding(findingId: string, by: string, claim: FindingClaim | null, nowMs: number): Promise<boolean>

  // telling
  /** Returns how many of them were news. */
  addUntold(untold: Untold[]): Promise<number>
  listUntold(recipient: string): Promise<Untold[]>
  listRecipientsWithUntold(): Promise<string[]>
  /** Removes from untold and remembers that each was told, so that it is not told twice. */
  markTold(untold: Untold[], told: { messageId: string; atIso: string }): Promise<void>
  wasTold(recipient: string, findingIds: string[]): Promise<Set<string>>
  /** What this person was told and has not heard the end of, though it is closed or gone. At most some hundred are looked at. */
  settledSince(recipient: string): Promise<Settled[]>
  /** Their end was told: they are never named again. */
  markSettledTold(recipient: string, findingIds: string[]): Promise<void>
  /** Null: never chosen. */
  mailChoice(recipient: string): Promise<MailChoice | null>
  putMailChoice(recipient: string, choice: MailChoice): Promise<void>
  /** When ordinary mail went to this person lately, ms. */
  mailTimes(recipient: string): Promise<number[]>
  putMailTimes(recipient: string, sentAtMs: number[]): Promise<void>

  // uploads
  putUpload(upload: Upload): Promise<void>
  /** Keeps a changed or handed-in draft. False when it is no draft any more, or was set aside to be removed. */
  changeDraft(upload: Upload): Promise<boolean>
  /** From now on the draft can no longer be handed in. False when it is no draft any more. */
  setDraftAside(uploadId: string): Promise<boolean>
  /** Removes a draft that was set aside; anything else stays. */
  removeDraft(uploadId: string): Promise<void>
  getUpload(uploadId: string): Promise<Upload | null>
  listUploads(q: PageRequest & { by?: string }): Promise<Page<Upload>>
  /** One checkpoint: counts, refused rows and place, written so that a repeat changes nothing. */
  checkpointUpload(upload: Upload, refused: RefusedRow[]): Promise<void>
  listRefused(uploadId: string, q: PageRequest): Promise<Page<RefusedRow>>

  // due dates
  listDue(q: PageRequest & { toMonth: string; siteId?: string }): Promise<Page<ElectrodeRecord>>

  // calendar feeds
  putFeed(feed: CalendarFeed): Promise<void>
  getFeed(personId: string): Promise<CalendarFeed | null>

  // sessions that were signed out, by the digest of their token
  /** Not good any more from now on; kept until `untilMs`, when the session ends by itself. */
  endSession(digest: string, times: { nowMs: number; untilMs: number }): Promise<void>
  isSessionEnded(digest: string): Promise<boolean>

  // column maps
  putColumnMap(name: string, map: Record<string, unknown>): Promise<void>
  listColumnMaps(): Promise<{ name: string; map: Record<string, unknown> }[]>
}
