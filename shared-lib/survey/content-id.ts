import { sha256Hex } from './sha256.ts'
import type { Reading, Subject, Survey } from './survey.ts'

/** Enough to tell any two readings a display can show apart, few enough to forget how a unit was converted. */
const SIGNIFICANT_DIGITS = 9

/** A number as JSON, rounded to what a display can tell apart. */
function numberText(value: number): string {
  // Nearly every number has at most five digits before the point and four after: rounding to nine leaves it as it is.
  const short = Math.abs(value) < 1e5 && Math.round(value * 1e4) / 1e4 === value
  const rounded = (short ? value : Number(value.toPrecision(SIGNIFICANT_DIGITS))) + 0
  return Number.isFinite(rounded) ? String(rounded) : 'null'
}

/** Printable ASCII that JSON writes as it is, without a space at either end: nothing to compose, trim or escape. */
const PLAIN_TEXT = /^(?! )[ !#-[\]-~]*(?<! )$/

const textText = (text: string): string =>
  PLAIN_TEXT.test(text) ? `"${text}"` : JSON.stringify(text.normalize('NFC').trim())

/** A moment as most are written; no day that some month lacks, because such a day would be another when it is read. */
const USUAL_UTC = /^\d{4}-(0[1-9]|1[0-2])-(0[1-9]|1\d|2[0-8])T([01]\d|2[0-3]):[0-5]\d:[0-5]\dZ$/

/** The same moment written the same way; what is no moment stays as written. */
function utc(instant: string): string {
  if (USUAL_UTC.test(instant)) return `${instant.slice(0, 19)}.000Z`
  const atMs = Date.parse(instant)
  return Number.isNaN(atMs) ? instant : new Date(atMs).toISOString()
}

const MOMENTS: ReadonlySet<string> = new Set(['testedAt', 'linkOpenedAt', 'linkClosedAt'])
const LEFT_OUT: ReadonlySet<string> = new Set(['notes', 'readings'])

/** The names of an object's fields in order, as they stand in JSON; by what they are in the order in which they were set. */
const orders = new Map<string, { key: string; text: string }[]>()
const MOST_ORDERS = 1000

function fieldsOf(source: object): { key: string; text: string }[] {
  const keys = Object.keys(source)
  const name = keys.join(' ')
  const known = orders.get(name)
  if (known) return known
  const fields = keys
    .filter((key) => !LEFT_OUT.has(key))
    .sort()
    .map((key) => ({ key, text: `${JSON.stringify(key)}:` }))
  if (orders.size < MOST_ORDERS) orders.set(name, fields)
  return fields
}

/** As JSON: keys in order, absent fields left out, numbers rounded, text composed and trimmed. */
function objectText(source: object): string {
  let text = ''
  for (const { key, text: name } of fieldsOf(source)) {
    const value = (source as Record<string, unknown>)[key]
    if (value === undefined) continue
    text += text === '' ? name : `,${name}`
    if (typeof value === 'number') text += numberText(value)
    else if (MOMENTS.has(key)) text += textText(utc(String(value).normalize('NFC').trim()))
    else text += textText(String(value))
  }
  return `{${text}}`
}

const byText = (a: string, b: string) => (a < b ? -1 : a > b ? 1 : 0)
const placeOf = ({ potentialProbeM, probeSpacingM }: Reading): number =>
  Number(numberText(potentialProbeM ?? probeSpacingM ?? 0))

function readingsText(readings: readonly Reading[]): string {
  const texts = readings.map((reading) => ({ place: placeOf(reading), text: objectText(reading) }))
  texts.sort((a, b) => a.place - b.place || byText(a.text, b.text))
  return texts.map(({ text }) => text).join(',')
}

/**
 * The survey's content in one canonical text: SI units, UTC, nine significant digits, keys and readings in a fixed order, without
 * notes. Two hand-ins of one survey give the same text however they were written.
 */
export function contentText(survey: Survey): string {
  return `[${objectText(survey)},[${readingsText(survey.readings)}]]`
}

/** SHA-256 of the canonical content, 64 hexadecimal digits: equal for a repeat, different for a conflict. */
export function contentHash(survey: Survey): string {
  return sha256Hex(contentText(survey))
}

/** What makes a survey this one and no other, as one text: its subject and its reference. */
export function surveyIdText(subject: Subject, surveyRef: string): string {
  const parts = [subject.kind, subject.id, surveyRef].map((part) => part.normalize('NFC').trim())
  return JSON.stringify(parts)
}

/** A survey's id: stable and safe in a URL, 32 hexadecimal digits made of its subject and its reference. */
export function surveyId(subject: Subject, surveyRef: string): string {
  return sha256Hex(surveyIdText(subject, surveyRef)).slice(0, 32)
}
