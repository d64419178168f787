import { InvalidArgumentError } from 'commander'

/** A number above zero and below `max`, as a person types it: a decimal point, no unit. For commander's option parsers. */
export function numberAbove(floor: number, max: number): (text: string) => number {
  return (text) => {
    const value = /^\s*[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?\s*$/i.test(text) ? Number(text) : Number.NaN
    if (!(value > floor && value < max))
      throw new InvalidArgumentError(
        text.includes(',')
          ? `Write the number with a decimal point, such as ${text.replace(',', '.')}.`
          : `Give a number above ${floor} and below ${max}, such as 3.5.`,
      )
    return value
  }
}

/** A whole number from `least` to `most`. */
export function wholeNumber(least: number, most: number): (text: string) => number {
  return (text) => {
    const value = /^\s*\d+\s*$/.test(text) ? Number(text) : Number.NaN
    if (!(value >= least && value <= most))
      throw new InvalidArgumentError(`Give a whole number from ${least} to ${most}.`)
    return value
  }
}

/** A day (`2026-05-04`, its end in UTC, so that the whole day counts) or an ISO 8601 instant, as milliseconds. */
export function dayOrInstantMs(text: string): number {
  const day = /^\d{4}-\d{2}-\d{2}$/.test(text)
  const ms = /^\d{4}-\d{2}-\d{2}(T[\d:.]+(Z|[+-]\d{2}:?\d{2}))?$/.test(text)
    ? Date.parse(day ? `${text}T23:59:59.999Z` : text)
    : Number.NaN
  const real = day ? !Number.isNaN(ms) && new Date(ms).toISOString().startsWith(text) : !Number.isNaN(ms)
  if (!real)
    throw new InvalidArgumentError('Give a day such as 2026-05-04, or a time such as 2026-05-04T10:20:00Z.')
  return ms
}

/** Lets an option be given more than once. */
export function collect(value: string, before: string[] = []): string[] {
  return [...before, value]
}
