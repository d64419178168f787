import { isTimeZone, offsetSecondsAtLocal } from './zones.ts'

/** Dates and times as written by people and instruments, into ISO 8601. Only ISO 8601 is understood unless a pattern is declared. */

export type TimeCell = { ok: true; iso: string } | { ok: false; code: 'bad-date' | 'bad-time-zone' }

export interface TimeReading {
  /** IANA zone for a time without offset; default UTC. */
  timeZone?: string
  /** Declared pattern, as `DD/MM/YYYY HH:mm`; see `PATTERN_HELP`. */
  datePattern?: string
}

interface LocalTime {
  year: number
  month: number
  day: number
  /** Absent where only a day was written. */
  clock?: { hour: number; minute: number; second: number; ms: number }
  /** Minutes east of UTC, where written; `Z` is 0. */
  offset?: { minutes: number; text: string }
}

export const PATTERN_HELP =
  'YYYY or YY, MM or M, DD or D, then if there is a time HH or H (hh or h with A for am/pm), mm, ss, and Z for an offset'

const EARLIEST_YEAR = 1900

const DATE = String.raw`(?<year>\d{4})(?:-(?<month>\d{2})-(?<day>\d{2})|(?<month2>\d{2})(?<day2>\d{2}))`
const CLOCK = String.raw`(?<hour>\d{2}):?(?<minute>\d{2})(?::?(?<second>\d{2})(?:[.,](?<fraction>\d{1,9}))?)?`
const OFFSET = String.raw`(?<offset>Z|[+-]\d{2}(?::?\d{2})?)`
const ISO = new RegExp(`^${DATE}(?:[T ]\\s*${CLOCK}\\s*${OFFSET}?)?$`, 'i')

const two = (value: number) => String(value).padStart(2, '0')

function offsetOf(text: string | undefined): LocalTime['offset'] | null {
  if (text === undefined) return undefined
  if (/^z$/i.test(text)) return { minutes: 0, text: 'Z' }
  const digits = text.slice(1).replace(':', '').padEnd(4, '0')
  const hours = Number(digits.slice(0, 2))
  const minutes = Number(digits.slice(2))
  if (hours > 18 || minutes > 59) return null
  return {
    minutes: (text[0] === '-' ? -1 : 1) * (hours * 60 + minutes),
    text: `${text[0]}${two(hours)}:${two(minutes)}`,
  }
}

function isoParts(text: string): LocalTime | null {
  const found = ISO.exec(text)?.groups
  if (!found) return null
  const offset = offsetOf(found.offset)
  if (offset === null) return null
  const parts: LocalTime = {
    year: Number(found.year),
    month: Number(found.month ?? found.month2),
    day: Number(found.day ?? found.day2),
  }
  if (found.hour !== undefined)
    parts.clock = {
      hour: Number(found.hour),
      minute: Number(found.minute),
      second: Number(found.second ?? 0),
      ms: Number((found.fraction ?? '').padEnd(3, '0').slice(0, 3)),
    }
  if (offset) parts.offset = offset
  return parts
}

const TOKENS: Record<string, string> = {
  YYYY: String.raw`(?<year>\d{4})`,
  YY: String.raw`(?<year>\d{2})`,
  MM: String.raw`(?<month>\d{2})`,
  M: String.raw`(?<month>\d{1,2})`,
  DD: String.raw`(?<day>\d{2})`,
  D: String.raw`(?<day>\d{1,2})`,
  HH: String.raw`(?<hour>\d{2})`,
  H: String.raw`(?<hour>\d{1,2})`,
  hh: String.raw`(?<hour>\d{2})`,
  h: String.raw`(?<hour>\d{1,2})`,
  mm: String.raw`(?<minute>\d{2})`,
  ss: String.raw`(?<second>\d{2})`,
  A: String.raw`(?<half>[ap]\.?m\.?)`,
  Z: OFFSET,
}
const TOKEN = /YYYY|YY|MM|M|DD|D|HH|H|hh|h|mm|ss|A|Z/g

interface CompiledPattern {
  expression: RegExp
  halfDays: boolean
  yearFirst: boolean
}
const patterns = new Map<string, CompiledPattern | null>()

/** A declared pattern made ready, or null when it is not one: year, month and day once each, nothing twice. */
function compile(pattern: string): CompiledPattern | null {
  const known = patterns.get(pattern)
  if (known !== undefined) return known
  let compiled: CompiledPattern | null = null
  const source = pattern
    .trim()
    .replace(/[\\^$.*+?()[\]{}|]/g, String.raw`\$&`)
    .replace(TOKEN, (token) => TOKENS[token]!)
    .replace(/ +/g, ' +')
  const count = (name: string) => source.split(`(?<${name}>`).length - 1
  const once = ['year', 'month', 'day'].every((name) => count(name) === 1)
  const halfDays = count('half') === 1
  const clockFits =
    count('hour') === count('minute') &&
    count('hour') <= 1 &&
    count('second') <= count('minute') &&
    count('half') <= 1
  if (once && clockFits && halfDays === /h/.test(pattern) && count('offset') <= count('hour'))
    compiled = { expression: new RegExp(`^${source}$`, 'i'), halfDays, yearFirst: /^Y/.test(pattern.trim()) }
  if (patterns.size > 200) patterns.clear()
  patterns.set(pattern, compiled)
  return compiled
}

/** Whether the text is a pattern that dates can be read by. */
export function isDatePattern(pattern: string): boolean {
  return pattern.length <= 40 && compile(pattern) !== null
}

function patternParts(text: string, pattern: CompiledPattern): LocalTime | null {
  const found = pattern.expression.exec(text)?.groups
  if (!found) return null
  const offset = offsetOf(found.offset)
  if (offset === null) return null
  // Two digits of a year: 69 to 99 are the last century, as POSIX reads them.
  const short = Number(found.year)
  const year = found.year!.length === 4 ? short : short + (short >= 69 ? 1900 : 2000)
  const parts: LocalTime = { year, month: Number(found.month), day: Number(found.day) }
  if (found.hour !== undefined) {
    let hour = Number(found.hour)
    if (pattern.halfDays) {
      if (hour < 1 || hour > 12) return null
      hour = (hour % 12) + (/^p/i.test(found.half!) ? 12 : 0)
    }
    parts.clock = { hour, minute: Number(found.minute), second: Number(found.second ?? 0), ms: 0 }
  }
  if (offset) parts.offset = offset
  return parts
}

function exists({ year, month, day, clock }: LocalTime): boolean {
  if (year < EARLIEST_YEAR || month < 1 || month > 12 || day < 1) return false
  if (day > new Date(Date.UTC(year, month, 0)).getUTCDate()) return false
  return clock === undefined || (clock.hour <= 23 && clock.minute <= 59 && clock.second <= 59)
}

function partsOf(text: string, datePattern: string | undefined): LocalTime | null {
  const trimmed = text.trim()
  let parts: LocalTime | null = null
  const pattern = datePattern === undefined ? null : compile(datePattern)
  if (pattern) parts = patternParts(trimmed, pattern)
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
 * Reads a moment. A written offset is kept; a time without one is read in `timeZone`; a day alone is that day at noon there.
 * Years from 1900 on; a day that the calendar does not have is refused.
 */
export function readInstant(text: string, { timeZone = 'UTC', datePattern }: TimeReading = {}): TimeCell {
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
