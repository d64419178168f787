import type { DatePattern } from './date-pattern.ts'
import { exists, isoParts, type LocalTime, two } from './local-time.ts'
import { isTimeZone, offsetSecondsAtLocal } from './zones.ts'

/** Dates and times as written by people and instruments, into ISO 8601. Only ISO 8601 is understood unless a pattern is declared. */

export type TimeCell = { ok: true; iso: string } | { ok: false; code: 'bad-date' | 'bad-time-zone' }

export interface TimeReading {
  /** IANA zone for a time without offset; default UTC. */
  timeZone?: string
  /** The file's declared pattern. */
  datePattern?: DatePattern
}

function partsOf(text: string, pattern: DatePattern | undefined): LocalTime | null {
  const trimmed = text.trim()
  let parts = pattern?.parts(trimmed) ?? null
  // A pattern that begins with the year may order month and day otherwise than ISO does: then it alone counts.
  if (!parts && !pattern?.yearFirst) parts = isoParts(trimmed)
  return parts && exists(parts) ? parts : null
}

const dayText = ({ year, month, day }: LocalTime) => `${year}-${two(month)}-${two(day)}`

function offsetText(seconds: number): string {
  if (seconds === 0) return 'Z'
  // Zones had offsets with seconds before 1972; ISO 8601 has none, so those are rounded to the minute.
  const minutes = Math.round(Math.abs(seconds) / 60)
  return `${seconds < 0 ? '-' : '+'}${two(Math.floor(minutes / 60))}:${two(minutes % 60)}`
}

function instantOf(parts: LocalTime, timeZone: string): TimeCell {
  // A day alone is that day at noon.
  const { hour, minute, second, ms } = parts.clock ?? { hour: 12, minute: 0, second: 0, ms: 0 }
  const fraction = ms > 0 ? `.${String(ms).padStart(3, '0')}` : ''
  const local = `${dayText(parts)}T${two(hour)}:${two(minute)}:${two(second)}${fraction}`
  if (parts.offset) return { ok: true, iso: local + parts.offset.text }
  if (timeZone === 'UTC') return { ok: true, iso: `${local}Z` }
  if (!isTimeZone(timeZone)) return { ok: false, code: 'bad-time-zone' }
  const localMs = Date.UTC(parts.year, parts.month - 1, parts.day, hour, minute, second)
  return { ok: true, iso: local + offsetText(offsetSecondsAtLocal(timeZone, localMs)!) }
}

/**
 * A moment as most files write it, on a day that every year's month has (the 29th to 31st are left to the whole rule): nothing to work
 * out but where its seconds end.
 */
const USUAL =
  /^(?:19|[2-9]\d)\d\d-(?:0[1-9]|1[0-2])-(?:0[1-9]|1\d|2[0-8])T(?:[01]\d|2[0-3]):[0-5]\d:[0-5]\d(?:\.000)?(?:Z|[+-](?:0\d|1[0-8]):[0-5]\d)$/
const TO_SECONDS = 19

function usualInstant(text: string): string | null {
  if (!USUAL.test(text)) return null
  return text[TO_SECONDS] === '.' ? text.slice(0, TO_SECONDS) + text.slice(TO_SECONDS + 4) : text
}

/**
 * Reads a moment. A written offset is kept; a time without one is read in `timeZone`; a day alone is that day at noon there.
 * Years from 1900 on; a day that the calendar does not have is refused.
 */
export function readInstant(text: string, { timeZone = 'UTC', datePattern }: TimeReading = {}): TimeCell {
  const usual = datePattern === undefined ? usualInstant(text) : null
  if (usual !== null) return { ok: true, iso: usual }
  const parts = partsOf(text, datePattern)
  return parts ? instantOf(parts, timeZone) : { ok: false, code: 'bad-date' }
}

/**
 * Reads a calendar day as `YYYY-MM-DD`; a time with offset stays a moment, a time without one is dropped to its day. A year, or a
 * year and month, alone stands for its first day: the earliest it can mean.
 */
export function readDay(text: string, { datePattern }: TimeReading = {}): TimeCell {
  const short = /^(\d{4})(?:-(\d{2}))?$/.exec(text.trim())
  const parts = partsOf(short ? `${short[1]}-${short[2] ?? '01'}-01` : text, short ? undefined : datePattern)
  if (!parts) return { ok: false, code: 'bad-date' }
  return parts.clock && parts.offset ? instantOf(parts, 'UTC') : { ok: true, iso: dayText(parts) }
}
