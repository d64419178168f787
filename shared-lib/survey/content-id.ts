import { sha256Hex } from './sha256.ts'
import type { Reading, Subject, Survey } from './survey.ts'

/** Enough to tell any two readings a display can show apart, few enough to forget how a unit was converted. */
const SIGNIFICANT_DIGITS = 9

type Plain = string | number | Plain[] | { [key: string]: Plain }

function plainValue(value: unknown): string | number {
  if (typeof value === 'number') {
    // Nearly every number has at most five digits before the point and four after: rounding to nine leaves it as it is.
    const short = Math.abs(value) < 1e5 && Math.round(value * 1e4) / 1e4 === value
    return (short ? value : Number(value.toPrecision(SIGNIFICANT_DIGITS))) + 0
  }
  return String(value).normalize('NFC').trim()
}

/** The same moment written the same way; what is no moment stays as written. */
function utc(instant: string): string {
  const atMs = Date.parse(instant)
  return Number.isNaN(atMs) ? instant : new Date(atMs).toISOString()
}

/** Keys in order, absent fields left out, numbers rounded, text composed and trimmed. */
function plainObject(source: object, leaveOut: string): { [key: string]: Plain } {
  const plain: { [key: string]: Plain } = {}
  for (const key of Object.keys(source).sort()) {
    const value = (source as Record<string, unknown>)[key]
    if (value === undefined || key === leaveOut || key === 'readings') continue
    plain[key] = plainValue(value)
  }
  return plain
}

const byText = (a: string, b: string) => (a < b ? -1 : a > b ? 1 : 0)

function plainReadings(readings: readonly Reading[]): Plain[] {
  return readings
    .map((reading) => plainObject(reading, ''))
    .sort(
      (a, b) =>
        Number(a.potentialProbeM ?? a.probeSpacingM ?? 0) -
          Number(b.potentialProbeM ?? b.probeSpacingM ?? 0) || byText(JSON.stringify(a), JSON.stringify(b)),
    )
}

/**
 * The survey's content in one canonical text: SI units, UTC, nine significant digits, keys and readings in a fixed order, without
 * notes. Two hand-ins of one survey give the same text however they were written.
 */
export function contentText(survey: Survey): string {
  const plain = plainObject(survey, 'notes')
  for (const key of ['testedAt', 'linkOpenedAt', 'linkClosedAt'])
    if (typeof plain[key] === 'string') plain[key] = utc(plain[key])
  return JSON.stringify([plain, plainReadings(survey.readings)])
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
