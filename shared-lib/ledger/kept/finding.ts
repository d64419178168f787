import type { Decision } from '../../history/assessment.ts'
import type { Finding } from '../../survey/finding.ts'
import type { Page, PageRequest } from './page.ts'

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

/** Findings of the review queue, and what was decided about them. */
export interface KeptFindings {
  /** Findings that do not follow from their electrode's site alone: put and taken away (by id), decisions kept. */
  putFindings(items: FindingItem[], removeIds: string[]): Promise<void>
  /** By id, a digest of each instrument finding that was written last. */
  getInstrumentFindings(): Promise<Record<string, string>>
  putInstrumentFindings(digests: Record<string, string>): Promise<void>
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
}
