/**
 * Time zones through the platform's own table (Intl), which Node and browsers both carry. Only what reading a date needs: the
 * offset of a zone at a local time. Goes when `Temporal` is in both.
 */

const formats = new Map<string, Intl.DateTimeFormat | null>()

function formatFor(zone: string): Intl.DateTimeFormat | null {
  const known = formats.get(zone)
  if (known !== undefined) return known
  let format: Intl.DateTimeFormat | null = null
  try {
    format = new Intl.DateTimeFormat('en-GB', {
      timeZone: zone,
      hourCycle: 'h23',
      era: 'short',
      year: 'numeric',
      month: 'numeric',
      day: 'numeric',
      hour: 'numeric',
      minute: 'numeric',
      second: 'numeric',
    })
  } catch {
    // Not a zone the platform knows: remembered as such.
  }
  formats.set(zone, format)
  return format
}

/** Whether the platform knows this IANA zone name (`Europe/Vienna`, `UTC`). */
export function isTimeZone(zone: string): boolean {
  return /^[A-Za-z][A-Za-z0-9_+\-/]*$/.test(zone) && formatFor(zone) !== null
}

/** Offset from UTC of the zone at this moment, in whole seconds; null for an unknown zone. */
export function offsetSecondsAt(zone: string, atMs: number): number | null {
  if (zone === 'UTC') return 0
  const format = formatFor(zone)
  if (!format) return null
  const parts = new Map<string, number>()
  for (const { type, value } of format.formatToParts(atMs)) parts.set(type, Number(value))
  const local = Date.UTC(
    parts.get('year')!,
    parts.get('month')! - 1,
    parts.get('day'),
    parts.get('hour'),
    parts.get('minute'),
    parts.get('second'),
  )
  return Math.round((local - Math.floor(atMs / 1000) * 1000) / 1000)
}

const dayMs = 86_400_000
/** Days without a change of offset, by zone and day: a file's dates repeat, and asking Intl is slow. */
const steadyDays = new Map<string, number>()

/**
 * Offset, in seconds, of the zone when its clocks show this local time (given as if it were UTC, ms); null for an unknown zone. A
 * time that occurs twice (clocks set back) is the first; one that never occurs (clocks set forward) keeps the offset from before
 * the change.
 */
export function offsetSecondsAtLocal(zone: string, localMs: number): number | null {
  if (zone === 'UTC') return 0
  const day = Math.floor(localMs / dayMs)
  const key = `${day} ${zone}`
  const steady = steadyDays.get(key)
  if (steady !== undefined) return steady
  const before = offsetSecondsAt(zone, (day - 1) * dayMs)
  const after = offsetSecondsAt(zone, (day + 2) * dayMs)
  if (before === null || after === null) return null
  if (before === after) {
    if (steadyDays.size >= 20_000) steadyDays.clear()
    steadyDays.set(key, before)
    return before
  }
  if (offsetSecondsAt(zone, localMs - before * 1000) === before) return before
  return offsetSecondsAt(zone, localMs - after * 1000) === after ? after : before
}
