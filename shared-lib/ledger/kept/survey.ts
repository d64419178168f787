import type { JudgedSurvey } from '../../evaluate/evaluation.ts'
import type { Subject, Survey } from '../../survey/survey.ts'
import type { Page, PageRequest } from './page.ts'

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

/** A survey that was handed in singly. */
export interface RecentSurvey {
  siteId: string
  electrodeId: string
  surveyRef: string
  receivedAt: string
}

/** The surveys stored of one subject. Each is unfolded only when it is asked for. */
interface SurveysThere {
  count: number
  withRef(surveyRef: string): Pick<SurveyRecord, 'contentHash' | 'receivedFrom'> | null
}

/** Surveys as they were handed in, with what was judged of each by itself. */
export interface KeptSurveys {
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
  /** What is there of the subject, to hold new surveys against it. */
  surveysThere(subject: Subject): Promise<SurveysThere>
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
}
