/** A date or time as its parts, as ISO 8601 writes it. */

export interface LocalTime {
  year: number
  month: number
  day: number
  /** Absent where only a day was written. */
  clock?: { hour: number; minute: number; second: number; ms: number }
  /** Minutes east of UTC, where written; `Z` is 0. */
  offset?: { minutes: number; text: string }
}

const EARLIEST_YEAR = 1900

const DATE = String.raw`(?<year>\d{4})(?:-(?<month>\d{2})-(?<day>\d{2})|(?<month2>\d{2})(?<day2>\d{2}))`
const CLOCK = String.raw`(?<hour>\d{2}):?(?<minute>\d{2})(?::?(?<second>\d{2})(?:[.,](?<fraction>\d{1,9}))?)?`
export const OFFSET = String.raw`(?<offset>Z|[+-]\d{2}(?::?\d{2})?)`
const ISO = new RegExp(`^${DATE}(?:[T ]\\s*${CLOCK}\\s*${OFFSET}?)?$`, 'i')

export const two = (value: number) => String(value).padStart(2, '0')

export function offsetOf(text: string | undefined): LocalTime['offset'] | null {
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

export function isoParts(text: string): LocalTime | null {
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

export function exists({ year, month, day, clock }: LocalTime): boolean {
  if (year < EARLIEST_YEAR || month < 1 || month > 12 || day < 1) return false
  if (day > new Date(Date.UTC(year, month, 0)).getUTCDate()) return false
  return clock === undefined || (clock.hour <= 23 && clock.minute <= 59 && clock.second <= 59)
}
