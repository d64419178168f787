import type { JudgedSurvey } from '../evaluate/evaluation.ts'
import type { Assessment, Decision } from '../history/assessment.ts'
import type { Finding } from '../survey/finding.ts'
import type { Calibration, Electrode, Limit, Work } from '../survey/register.ts'
import type { Subject, Survey } from '../survey/survey.ts'

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
  /** Why it is closed: a decision, or the later survey that settled it. */
  closedBy?: { decision: Decision } | { laterSurveyRef: string }
}

/** Everything in one electrode's partition, read strongly. */
export interface ElectrodeFile {
  record: ElectrodeRecord
  limits: Limit[]
  works: Work[]
  surveys: SurveyRecord[]
  findings: FindingItem[]
  decisions: Decision[]
  assessment: Assessment | null
}

export interface DueMark {
  electrodeId: string
  stamp: string
  markedAt: string
  uploadId?: string
}

export interface PeerEntry {
  electrodeId: string
  siteId: string
  surveyRef: string
  testedAt: string
  measuredAs: string
  instrumentId?: string
  /** ln ohm; null when the survey gave no number. */
  lnOhm: number | null
  validity: string
}

/** `draft`: kept and looked through, but not handed in yet; intake and the sweep pass it over. */
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
  urgent: boolean
  /** The survey was already old when it was handed in: goes to a digest. */
  old: boolean
  queuedAtMs: number
}

interface SiteSummary {
  siteId: string
  electrodes: number
}

export interface Ledger {
  // register
  putElectrode(electrode: Electrode, at: { nowIso: string; validFrom?: string }): Promise<WriteOutcome>
  getElectrode(electrodeId: string): Promise<ElectrodeRecord | null>
  /** Many at once, for intake; absent ids are absent from the map. */
  getElectrodes(electrodeIds: string[]): Promise<Map<string, ElectrodeRecord>>
  listElectrodes(q: PageRequest & { siteId?: string }): Promise<Page<ElectrodeRecord>>
  listSites(): Promise<SiteSummary[]>
  putCalibration(calibration: Calibration): Promise<WriteOutcome>
  getCalibrations(instrumentId: string): Promise<Calibration[]>
  listCalibrations(): Promise<Calibration[]>
  putLimit(limit: Limit): Promise<WriteOutcome>
  getLimits(electrodeId: string): Promise<Limit[]>
  putWork(work: Work): Promise<WriteOutcome>
  /** Electrodes with tests by this instrument since a date: who must be judged again when a calibration arrives. */
  electrodesOfInstrument(instrumentId: string, fromIso: string): Promise<string[]>

  // surveys
  putSurvey(record: SurveyRecord): Promise<{ outcome: PutSurveyOutcome; stored: SurveyRecord }>
  getSurvey(subject: Subject, surveyRef: string): Promise<SurveyRecord | null>
  /** Surveys of a site (four-point) or an instrument (check-resistor). */
  listSurveysOf(subject: Subject): Promise<SurveyRecord[]>
  putPeerEntries(entries: PeerEntry[]): Promise<void>
  /** Both ends included; '' = no end. */
  peersOfSite(siteId: string, fromIso: string, toIso: string): Promise<PeerEntry[]>
  peersOfInstrument(instrumentId: string, fromIso: string, toIso: string): Promise<PeerEntry[]>
  holdSurvey(held: HeldSurvey): Promise<{ outcome: PutSurveyOutcome }>
  listHeld(q: PageRequest): Promise<Page<HeldSurvey>>
  heldFor(electrodeId: string): Promise<HeldSurvey[]>
  removeHeld(held: HeldSurvey): Promise<void>

  // one electrode
  readElectrodeFile(electrodeId: string): Promise<ElectrodeFile | null>
  /** Rewrites judged parts that changed, puts and removes findings, stores the assessment and the due date. Idempotent. */
  writeAssessment(
    electrodeId: string,
    change: {
      rejudged: SurveyRecord[]
      putFindings: FindingItem[]
      removeFindings: FindingItem[]
      assessment: Assessment
      lastTestedAt?: string
      dueOn?: string
    },
  ): Promise<void>

  // due marks
  markDue(electrodeIds: string[], mark: { stamp: string; nowIso: string; uploadId?: string }): Promise<void>
  getMark(electrodeId: string): Promise<DueMark | null>
  /** Those of these electrodes that have one, read strongly. */
  getMarks(electrodeIds: string[]): Promise<DueMark[]>
  /** True when the mark was there with this stamp and is gone now. */
  clearMark(electrodeId: string, stamp: string): Promise<boolean>
  listMarks(): Promise<DueMark[]>

  // findings
  listFindings(
    q: PageRequest & { state?: FindingState | 'all'; siteId?: string; electrodeId?: string },
  ): Promise<Page<FindingItem>>
  getFinding(findingId: string): Promise<FindingItem | null>
  /** Appends the decision and changes the finding's state in one conditional write each. */
  addDecision(decision: Decision): Promise<FindingItem | null>

  // telling
  addUntold(untold: Untold[]): Promise<void>
  listUntold(recipient: string): Promise<Untold[]>
  listRecipientsWithUntold(): Promise<string[]>
  /** Removes from untold and remembers that each was told, so that it is not told twice. */
  markTold(untold: Untold[], told: { messageId: string; atIso: string }): Promise<void>
  wasTold(recipient: string, findingIds: string[]): Promise<Set<string>>

  // uploads
  putUpload(upload: Upload): Promise<void>
  getUpload(uploadId: string): Promise<Upload | null>
  listUploads(q: PageRequest & { by?: string }): Promise<Page<Upload>>
  /** One checkpoint: counts, refused rows and place, written so that a repeat changes nothing. */
  checkpointUpload(upload: Upload, refused: RefusedRow[]): Promise<void>
  listRefused(uploadId: string, q: PageRequest): Promise<Page<RefusedRow>>

  // due dates
  listDue(q: PageRequest & { toMonth: string; siteId?: string }): Promise<Page<ElectrodeRecord>>

  // column maps
  putColumnMap(name: string, map: Record<string, unknown>): Promise<void>
  listColumnMaps(): Promise<{ name: string; map: Record<string, unknown> }[]>
}
