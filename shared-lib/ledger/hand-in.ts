import { setTimeout as sleep } from 'node:timers/promises'
import type { Clock } from '../ports/clock.ts'
import type { Queue } from '../ports/queue.ts'
import type { Survey } from '../survey/survey.ts'
import { type BooksReader, createBooksReader } from './books.ts'
import { sendCompare, sendCompareOfMarks } from './compare-message.ts'
import { heldOf, recordOf, subjectOrThrow } from './judge-record.ts'
import type { DueMark } from './kept/mark.ts'
import type { HeldSurvey, SurveyRecord } from './kept/survey.ts'
import type { Ledger } from './ledger.ts'
import { LedgerError } from './ledger-error.ts'
import { rejudgeAll } from './rejudge-all.ts'

type HandedIn =
  | { kind: 'stored' | 'already-there'; record: SurveyRecord }
  | { kind: 'held'; held: HeldSurvey }
  /** Same subject and ref, other content: both are named, the one that is kept (judged or held) stays. */
  | { kind: 'conflict'; stored: KeptSurvey; id: string }

/** A survey that is kept, judged or held: what can be said of either. */
export type KeptSurvey = Pick<SurveyRecord, 'id' | 'subject' | 'survey' | 'receivedAt'>

type HandInOrigin = SurveyRecord['receivedFrom']

/**
 * The one way a single survey gets into the ledger, for the form and the API: the survey, which is findable by the time it came,
 * then the message to compare. Nothing can fall between the two: upkeep looks whether what came lately has been compared.
 */
export interface HandInDesk {
  /**
   * `sites`: those the sender hands in for, asked again when a held survey's electrode appears; the caller checks known ones.
   * `books`: what the caller has read of the register for this survey, so that it is not read again.
   */
  handIn(
    survey: Survey,
    origin: HandInOrigin,
    sites?: readonly string[] | '*',
    books?: BooksReader,
  ): Promise<HandedIn>
  /** Marks electrodes as a whole: first step of a write that can alter what is judged about them. */
  mark(electrodeIds: string[]): Promise<DueMark[]>
  /** Tells compare that there is news about these electrodes: marks them with a fresh stamp and sends one message a site. */
  announce(electrodeIds: string[], marked?: readonly DueMark[]): Promise<void>
  /** Has every site judged anew, as after new parameters. Returns how many. */
  rejudgeAll(): Promise<number>
  /** Stores surveys that waited for this electrode, which must be in the register. Returns how many were stored. */
  releaseHeld(electrodeId: string): Promise<number>
}

export interface DeskDeps {
  ledger: Ledger
  compareQueue: Queue
  clock: Clock
  newId(): string
}

/** How long a hand-in waits for a batch of surveys of the same electrode to be written, ms. */
const LONGEST_WAIT_MS = 8000
const LOOK_EVERY_MS = 100

export function createDesk({ ledger, compareQueue, clock, newId }: DeskDeps): HandInDesk {
  const nowIso = () => new Date(clock.nowMs()).toISOString()

  async function hold(
    survey: Survey,
    electrodeId: string,
    origin: HandInOrigin,
    sites: readonly string[] | '*',
  ): Promise<HandedIn> {
    const subject = subjectOrThrow(survey)
    const held = heldOf(survey, origin, nowIso(), sites)
    const { outcome } = await ledger.holdSurvey(held)
    // The electrode may have been registered, and its held surveys released, between our look and our write.
    if (await ledger.getElectrode(electrodeId)) await releaseHeld(electrodeId)
    const stored = await ledger.getSurvey(subject, survey.surveyRef)
    if (stored) return beside(stored, held)
    if (outcome !== 'conflict') return { kind: 'held', held }
    const first = (await ledger.heldFor(electrodeId)).find((h) => h.survey.surveyRef === survey.surveyRef)
    // Gone again in this moment: the sender repeats, and finds it stored.
    if (!first)
      throw new Error(`the held survey ${survey.surveyRef} was released while it was being compared`)
    return { kind: 'conflict', stored: { ...first, subject }, id: held.id }
  }

  /** A survey handed in, beside the stored one of the same subject and reference. */
  const beside = (stored: SurveyRecord, sent: { id: string; contentHash: string }): HandedIn =>
    stored.contentHash === sent.contentHash
      ? { kind: 'already-there', record: stored }
      : { kind: 'conflict', stored, id: sent.id }

  /** See write-turn.ts: after the survey is stored, whoever writes by batch has seen it unless there is a lock now. */
  async function untilUnlocked(electrodeId: string): Promise<boolean> {
    for (let waitedMs = 0; ; waitedMs += LOOK_EVERY_MS) {
      const until = await ledger.lockedUntil(electrodeId)
      if (until === null || until < clock.nowMs()) return waitedMs > 0
      if (waitedMs >= LONGEST_WAIT_MS)
        throw new LedgerError('overloaded', `Surveys of ${electrodeId} are being written by an upload.`)
      await sleep(LOOK_EVERY_MS)
    }
  }

  /** Once before the sounding is stored, so that a crash loses nothing, and once after it with a fresh stamp. */
  async function markSoil(siteId: string): Promise<DueMark> {
    const mark = { electrodeId: '', siteId, portion: '', stamp: newId(), markedAt: nowIso() }
    await ledger.putMarks([mark])
    return mark
  }

  async function store(record: SurveyRecord): Promise<HandedIn> {
    const { subject, survey, siteId } = record
    if (subject.kind === 'site') await markSoil(subject.id)
    const { outcome, stored } = await ledger.putSurvey(record)
    if (subject.kind === 'site' && outcome !== 'conflict')
      await sendCompareOfMarks(compareQueue, [await markSoil(subject.id)])
    if (subject.kind !== 'electrode' || siteId === null)
      return outcome === 'stored' ? { kind: 'stored', record } : beside(stored, record)
    if (outcome === 'stored' && (await untilUnlocked(subject.id))) {
      const kept = await ledger.getSurvey(subject, survey.surveyRef)
      if (kept && kept.contentHash !== record.contentHash) return beside(kept, record)
    }
    if (outcome !== 'conflict') {
      const news = { siteId, electrodeId: subject.id, surveyRef: survey.surveyRef }
      await sendCompare(compareQueue, [{ ...news, stamp: newId() }])
    }
    return outcome === 'stored' ? { kind: 'stored', record } : beside(stored, record)
  }

  async function handIn(
    survey: Survey,
    origin: HandInOrigin,
    sites: readonly string[] | '*' = '*',
    books: BooksReader = createBooksReader(ledger),
  ): Promise<HandedIn> {
    const subject = subjectOrThrow(survey)
    const found = await books.booksFor(survey)
    if (found) return store(recordOf(survey, origin, nowIso(), found))
    return hold(survey, subject.id, origin, sites)
  }

  async function releaseHeld(electrodeId: string): Promise<number> {
    let released = 0
    for (const held of await ledger.heldFor(electrodeId)) {
      const found = await createBooksReader(ledger).booksFor(held.survey)
      if (!found) return released
      // The sender does not hand in for this site: it stays held until somebody who may has looked at it.
      if (held.sites && found.siteId !== null && !held.sites.includes(found.siteId)) continue
      const record = recordOf(held.survey, held.receivedFrom, held.receivedAt, found)
      const outcome = await store(record)
      // A conflict stays held: it is somebody's result, and only a person may drop it.
      if (outcome.kind === 'conflict') continue
      await ledger.removeHeld(held)
      released++
    }
    return released
  }

  const mark = (electrodeIds: string[]) =>
    ledger.markDue([...new Set(electrodeIds)], { stamp: newId(), nowIso: nowIso() })

  return {
    handIn,
    releaseHeld,
    mark,
    rejudgeAll: () => rejudgeAll(ledger, compareQueue, { stamp: newId(), nowIso: nowIso() }),
    async announce(electrodeIds, marked = []) {
      const marks = electrodeIds.length > 0 ? await mark(electrodeIds) : []
      // An electrode that has moved is news at its old site too.
      await sendCompareOfMarks(compareQueue, [...marked, ...marks])
    },
  }
}
