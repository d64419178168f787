import type { FindingItem } from './finding.ts'

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

/** Who is still to be told of what. */
export interface KeptTelling {
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
}
