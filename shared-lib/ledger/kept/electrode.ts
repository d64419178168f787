import type { Assessment, Decision } from '../../history/assessment.ts'
import type { Limit, Work } from '../../survey/register.ts'
import type { ElectrodeHistory } from '../site-history.ts'
import type { FindingItem } from './finding.ts'
import type { ElectrodeRecord } from './register.ts'
import type { StoredHistory } from './site.ts'
import type { SurveyRecord } from './survey.ts'

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

/** One electrode with all that is kept about it. */
export interface KeptElectrodes {
  readElectrodeFile(electrodeId: string): Promise<ElectrodeFile | null>
  /**
   * Rewrites judged parts that changed, puts and removes findings, stores the assessment, and last the history with the due date.
   * Idempotent. False when somebody else has written this electrode's history meanwhile: then all of it is to be judged anew.
   */
  writeAssessment(electrodeId: string, change: AssessmentChange): Promise<boolean>
}
