/** Days as whole numbers since 1970-01-01, so that campaigns can be counted without a clock or a zone. */

const MS_A_DAY = 86_400_000

/** Day number of `YYYY-MM-DD`. */
export function dayOf(isoDay: string): number {
  return Math.round(Date.parse(`${isoDay}T00:00:00Z`) / MS_A_DAY)
}

/** `YYYY-MM-DD` of a day number. */
export function isoDay(day: number): string {
  return new Date(day * MS_A_DAY).toISOString().slice(0, 10)
}

/** Day of the year, 0 to 365. */
export function dayOfYear(day: number): number {
  return day - dayOf(`${isoDay(day).slice(0, 4)}-01-01`)
}

export function yearOf(day: number): number {
  return Number(isoDay(day).slice(0, 4))
}

/** 0 is Sunday. */
export function weekday(day: number): number {
  return new Date(day * MS_A_DAY).getUTCDay()
}

/** `HH:MM` of minutes after midnight. */
export function clock(minute: number): string {
  const two = (n: number) => String(n).padStart(2, '0')
  return `${two(Math.floor(minute / 60))}:${two(minute % 60)}`
}

/** The first day of the month `months` after the given `YYYY-MM`. */
export function monthStart(from: string, months: number): number {
  const [year = 0, month = 1] = from.split('-').map(Number)
  return Math.round(Date.UTC(year, month - 1 + months, 1) / MS_A_DAY)
}
