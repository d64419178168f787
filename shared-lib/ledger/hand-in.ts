import type { Clock } from '../ports/clock.ts'
import type { Queue } from '../ports/queue.ts'
import { contentHash, surveyId } from '../survey/content-id.ts'
import type { Survey } from '../survey/survey.ts'
import { createBooksReader } from './books.ts'
import { sendCompare } from './compare-message.ts'
import { heldOf, peerEntryOf, recordOf, subjectOrThrow } from './judge-record.ts'
import type { HeldSurvey, Ledger, SurveyRecord } from './ledger.ts'

type HandedIn =
  | { kind: 'stored' | 'already-there'; record: SurveyRecord }
  | { kind: 'held'; held: HeldSurvey }
  /** Same subject and ref, other content: both are named, the one that is kept (judged or held) stays. */
  | { kind: 'conflict'; stored: KeptSurvey; id: string }

/** A survey that is kept, judged or held: what can be said of either. */
export type KeptSurvey = Pick<SurveyRecord, 'id' | 'subject' | 'survey' | 'receivedAt'>

type HandInOrigin = SurveyRecord['receivedFrom']

/**
 * The one way a single survey gets into the ledger, for the form and the API. In this order, so that nothing falls between write
 * and send: the electrode's due mark, the peer entry, the survey, then the message to compare.
 */
export interface HandInDesk {
  handIn(survey: Survey, origin: HandInOrigin): Promise<HandedIn>
  /** Tells compare that there is news about these electrodes: marks them with a fresh stamp and sends one message each. */
  announce(electrodeIds: string[]): Promise<void>
  /** Stores surveys that waited for this electrode, which must be in the register. Returns how many were stored. */
  releaseHeld(electrodeId: string): Promise<number>
}

export interface DeskDeps {
  ledger: Ledger
  compareQueue: Queue
  clock: Clock
  newId(): string
}

export function createDesk({ ledger, compareQueue, clock, newId }: DeskDeps): HandInDesk {
  const nowIso = () => new Date(clock.nowMs()).toISOString()

  async function mark(electrodeIds: string[]): Promise<string> {
    const stamp = newId()
    await ledger.markDue(electrodeIds, { stamp, nowIso: nowIso() })
    return stamp
  }
  const send = (electrodeIds: string[], stamp: string) =>
    sendCompare(
      ledger,
      compareQueue,
      electrodeIds.map((electrodeId) => ({ electrodeId, stamp })),
    )

  async function hold(survey: Survey, electrodeId: string, origin: HandInOrigin): Promise<HandedIn> {
    const subject = subjectOrThrow(survey)
    const held = heldOf(survey, origin, nowIso())
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

  async function putPeer(record: SurveyRecord): Promise<void> {
    const peer = peerEntryOf(record)
    if (peer) await ledger.putPeerEntries([peer])
  }

  async function store(record: SurveyRecord): Promise<HandedIn> {
    const electrodeId = record.subject.kind === 'electrode' ? record.subject.id : null
    const stamp = electrodeId ? await mark([electrodeId]) : ''
    // Before the survey: a repeat after a crash finds the survey stored and writes nothing more.
    await putPeer(record)
    const { outcome, stored } = await ledger.putSurvey(record)
    if (outcome === 'conflict') await putPeer(stored)
    if (electrodeId) await send([electrodeId], stamp)
    return outcome === 'conflict'
      ? { kind: 'conflict', stored, id: record.id }
      : { kind: outcome, record: stored }
  }

  async function handIn(survey: Survey, origin: HandInOrigin): Promise<HandedIn> {
    const subject = subjectOrThrow(survey)
    const before = await ledger.getSurvey(subject, survey.surveyRef)
    if (before)
      return beside(before, { id: surveyId(subject, survey.surveyRef), contentHash: contentHash(survey) })
    const found = await createBooksReader(ledger).booksFor(survey)
    if (!found) return hold(survey, subject.id, origin)
    return store(recordOf(survey, origin, nowIso(), found.siteId, found.books))
  }

  async function releaseHeld(electrodeId: string): Promise<number> {
    let released = 0
    for (const held of await ledger.heldFor(electrodeId)) {
      const found = await createBooksReader(ledger).booksFor(held.survey)
      if (!found) return released
      const record = recordOf(held.survey, held.receivedFrom, held.receivedAt, found.siteId, found.books)
      const outcome = await store(record)
      // A conflict stays held: it is somebody's result, and only a person may drop it.
      if (outcome.kind === 'conflict') continue
      await ledger.removeHeld(held)
      released++
    }
    return released
  }

  return {
    handIn,
    releaseHeld,
    async announce(electrodeIds) {
      const ids = [...new Set(electrodeIds)]
      if (ids.length > 0) await send(ids, await mark(ids))
    },
  }
}
