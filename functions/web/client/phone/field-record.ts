import type { Survey } from '../../../../shared-lib/survey/survey.ts'
import type { FormState } from '../../pages/surveys/form-state.ts'
import type { Answer } from './read-answer.ts'

/**
 * One survey on this phone, from the first key to 30 days after its receipt. Everything here is pure: a change is a new value,
 * stored by the caller before it is shown.
 */
export interface FieldRecord {
  /** The survey's reference, made on this phone when it is started. */
  ref: string
  /** Whose it is: only this person's session sends it. */
  personId: string
  personName: string
  /**
   * `draft`: being typed; `waiting`: finished, to be sent; `sending`: bytes may be on their way; `refused`: a person must look;
   * `received`: the service has it.
   */
  state: 'draft' | 'waiting' | 'sending' | 'refused' | 'received'
  /** As typed. Never dropped, so that it can be edited and read again. */
  form: FormState
  timeZone: string
  startedAtMs: number
  savedAtMs: number
  /** As it is sent: frozen once finished. */
  survey?: Survey
  finishedAtMs?: number
  attempts: number
  /** True once bytes may have reached the service: from then on an edit is a new survey that names this one. */
  mayBeThere: boolean
  nextTryAtMs?: number
  /** The last thing said about it, by the service or about the way there. */
  said?: { atMs: number; words: string }
  receipt?: { id: string; receivedAt: string; held: boolean; address: string | null }
}

export interface Owner {
  id: string
  name: string
}

/** Days a copy stays here after the service has the survey. */
const KEPT_AFTER_RECEIPT_MS = 30 * 86_400_000
const FIRST_WAIT_MS = 4000
/** A browser does not always say that the network is back, so an open page never waits long. */
const LONGEST_WAIT_MS = 5 * 60_000

export function startRecord(owner: Owner, form: FormState, timeZone: string, nowMs: number): FieldRecord {
  return {
    ref: form.values.surveyRef ?? '',
    personId: owner.id,
    personName: owner.name,
    state: 'draft',
    form,
    timeZone,
    startedAtMs: nowMs,
    savedAtMs: nowMs,
    attempts: 0,
    mayBeThere: false,
  }
}

/** Finished: what is sent from now on is this survey and nothing else. */
export function finishRecord(record: FieldRecord, survey: Survey, nowMs: number): FieldRecord {
  const { said: _, nextTryAtMs: __, ...rest } = record
  return { ...rest, state: 'waiting', survey, finishedAtMs: nowMs, savedAtMs: nowMs }
}

/** Before the first byte leaves: should everything die now, it is tried again and never edited in place. */
export function beginSend(record: FieldRecord): FieldRecord {
  return { ...record, state: 'sending', attempts: record.attempts + 1, mayBeThere: true }
}

/** How long to wait after so many tries, ms: doubling from 4 s to five minutes. */
export function waitAfter(attempts: number): number {
  return Math.min(LONGEST_WAIT_MS, FIRST_WAIT_MS * 2 ** Math.max(0, attempts - 1))
}

/** What an answer makes of a record. `before`: the record as it was before this try. */
export function answered(before: FieldRecord, sent: FieldRecord, answer: Answer, nowMs: number): FieldRecord {
  if (answer.kind === 'received') {
    const { nextTryAtMs: _, said: __, ...rest } = sent
    return { ...rest, state: 'received', receipt: answer.receipt, savedAtMs: nowMs }
  }
  const said = { atMs: nowMs, words: answer.words }
  if (answer.kind === 'refused')
    return { ...sent, state: 'refused', said, mayBeThere: before.mayBeThere || answer.mayBeThere }
  const waiting = { ...sent, state: 'waiting' as const, said }
  // Nobody signed in is nobody's fault and no try: nothing of it was taken.
  if (answer.kind === 'signed-out')
    return { ...waiting, attempts: before.attempts, mayBeThere: before.mayBeThere }
  return { ...waiting, nextTryAtMs: nowMs + waitAfter(sent.attempts) }
}

/**
 * The record opened for a change. While nothing of it can be at the service it is simply a draft again; afterwards it is a new
 * survey under `freshRef` that names the old one, which stays as it is.
 */
export function editRecord(record: FieldRecord, freshRef: string, nowMs: number): FieldRecord {
  const { survey: _, finishedAtMs: __, nextTryAtMs: ___, said: ____, receipt: _____, ...rest } = record
  if (!record.mayBeThere && record.state !== 'received') return { ...rest, state: 'draft', savedAtMs: nowMs }
  const values = { ...record.form.values, surveyRef: freshRef, corrects: record.ref }
  return {
    ...rest,
    ref: freshRef,
    state: 'draft',
    form: { ...record.form, values },
    attempts: 0,
    mayBeThere: false,
    startedAtMs: nowMs,
    savedAtMs: nowMs,
  }
}

/** Records of this person that are to be sent, oldest first; with `nowMs`, only those whose time has come. */
export function toSend(records: readonly FieldRecord[], personId: string, nowMs?: number): FieldRecord[] {
  return records
    .filter((r) => (r.state === 'waiting' || r.state === 'sending') && r.personId === personId)
    .filter((r) => nowMs === undefined || (r.nextTryAtMs ?? 0) <= nowMs)
    .sort((a, b) => (a.finishedAtMs ?? 0) - (b.finishedAtMs ?? 0))
}

/** Not at the service yet, drafts included: what the badge counts. */
export function isUnsent(record: FieldRecord): boolean {
  return record.state !== 'received'
}

/** The service has it, and the copy's time is over. */
export function isOld(record: FieldRecord, nowMs: number): boolean {
  return record.state === 'received' && nowMs - record.savedAtMs > KEPT_AFTER_RECEIPT_MS
}

/** A reference nobody else has: letters and digits that can be read out on a phone. */
export function newRef(): string {
  const letters = 'ABCDEFGHJKLMNPQRSTUVWXYZ23456789'
  const bytes = crypto.getRandomValues(new Uint8Array(12))
  return `F-${Array.from(bytes, (b) => letters[b % 32]).join('')}`
}
