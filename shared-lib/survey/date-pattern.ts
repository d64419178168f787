import { type LocalTime, OFFSET, offsetOf } from './local-time.ts'

/** Date patterns that an upload declares for its file. */

export const PATTERN_HELP =
  'YYYY or YY, MM or M, DD or D, then if there is a time HH or H (hh or h with A for am/pm), mm, ss, and Z for an offset'

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

/** A declared pattern made ready. */
export interface DatePattern {
  /** What a text without space around it says by the pattern; null when it says nothing. */
  parts(text: string): LocalTime | null
  yearFirst: boolean
}
interface Compiled {
  expression: RegExp
  halfDays: boolean
}
const patterns = new Map<string, DatePattern | null>()

/** The pattern ready for use, or null when it is none: year, month and day once each, nothing twice. */
export function datePatternOf(pattern: string): DatePattern | null {
  const known = patterns.get(pattern)
  if (known !== undefined) return known
  let compiled: DatePattern | null = null
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
  if (once && clockFits && halfDays === /h/.test(pattern) && count('offset') <= count('hour')) {
    const expression = new RegExp(`^${source}$`, 'i')
    compiled = {
      parts: (text) => partsBy(text, { expression, halfDays }),
      yearFirst: /^Y/.test(pattern.trim()),
    }
  }
  if (patterns.size > 200) patterns.clear()
  patterns.set(pattern, compiled)
  return compiled
}

/** Whether the text is a pattern that dates can be read by. */
export function isDatePattern(pattern: string): boolean {
  return pattern.length <= 40 && datePatternOf(pattern) !== null
}

function partsBy(text: string, pattern: Compiled): LocalTime | null {
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
