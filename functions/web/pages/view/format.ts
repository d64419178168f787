import { number, SIGNIFICANT } from '../../../../shared-lib/survey/number-words.ts'

export { chance, number } from '../../../../shared-lib/survey/number-words.ts'

const MONTHS = 'January February March April May June July August September October November December'.split(
  ' ',
)

/** A resistance with its unit. */
export function ohm(valueOhm: number | null | undefined, digits = SIGNIFICANT): string {
  return valueOhm === null || valueOhm === undefined ? 'no value' : `${number(valueOhm, digits)} Ω`
}

/** A result with its expanded uncertainty (k = 2), both rounded to the place that two digits of the doubt reach. */
export function ohmWithDoubt(valueOhm: number | null, doubtOhm: number | null): string {
  if (valueOhm === null) return 'no value'
  if (doubtOhm === null || !(doubtOhm > 0)) return ohm(valueOhm)
  const place = Math.min(6, 1 - Math.floor(Math.log10(doubtOhm)))
  const round = (x: number) =>
    place >= 0 ? x.toFixed(place) : String(Math.round(x * 10 ** place) * 10 ** -place)
  return `${round(valueOhm)} ± ${round(doubtOhm)} Ω`
}

/** A length in metres, to the centimetre. */
export function metres(lengthM: number): string {
  return `${number(Math.round(lengthM * 100) / 100, 6)} m`
}

/** The instant as it was written down, in its own offset: `4 May 2026, 10:20 (UTC+01:00)`. Anything else comes back as is. */
export function instant(iso: string): string {
  const parts = /^(\d{4})-(\d\d)-(\d\d)T(\d\d:\d\d)(?::\d\d(?:\.\d+)?)?(Z|[+-]\d\d:?\d\d)?$/.exec(iso)
  if (!parts) return day(iso)
  const [, year, month, dayOfMonth, time, offset] = parts
  const zone =
    offset === undefined ? '' : offset === 'Z' || offset === '+00:00' ? ' (UTC)' : ` (UTC${offset})`
  return `${Number(dayOfMonth)} ${MONTHS[Number(month) - 1] ?? month} ${year}, ${time}${zone}`
}

/** The calendar day of an ISO date or instant, as it was written down. */
export function day(iso: string): string {
  const parts = /^(\d{4})-(\d\d)-(\d\d)/.exec(iso)
  return parts ? `${Number(parts[3])} ${MONTHS[Number(parts[2]) - 1] ?? parts[2]} ${parts[1]}` : iso
}

/** `2026-05` as `May 2026`. */
export function month(yearMonth: string): string {
  const parts = /^(\d{4})-(\d\d)/.exec(yearMonth)
  return parts ? `${MONTHS[Number(parts[2]) - 1] ?? parts[2]} ${parts[1]}` : yearMonth
}

/** How long ago, in the largest unit that says enough. */
export function age(fromIso: string, nowMs: number): string {
  const minutes = Math.floor((nowMs - Date.parse(fromIso)) / 60_000)
  if (!Number.isFinite(minutes)) return ''
  if (minutes < 1) return 'just now'
  if (minutes < 60) return `${plural(minutes, 'minute')} ago`
  if (minutes < 48 * 60) return `${plural(Math.floor(minutes / 60), 'hour')} ago`
  const days = Math.floor(minutes / (24 * 60))
  if (days < 90) return `${plural(days, 'day')} ago`
  return days < 730
    ? `${plural(Math.floor(days / 30.44), 'month')} ago`
    : `${plural(Math.floor(days / 365), 'year')} ago`
}

/** How long something still lasts, in whole minutes, at least one. */
export function minutesLeft(untilMs: number, nowMs: number): string {
  return plural(Math.max(1, Math.ceil((untilMs - nowMs) / 60_000)), 'minute')
}

/** `1 survey`, `2 surveys`. */
export function plural(count: number, noun: string, nouns = `${noun}s`): string {
  return `${count} ${count === 1 ? noun : nouns}`
}
