import type { Electrode } from '../survey/register.ts'

/** The earlier of two days `YYYY-MM-DD`, either of which may be missing. */
export const earlierDay = (a: string | undefined, b: string | undefined): string | undefined =>
  a === undefined || (b !== undefined && b < a) ? b : a

/**
 * The day an electrode's next test is due: the last test made plus the retest interval, or the installation plus the interval
 * while it has never been tested.
 * @param lastTestedAt ISO instant of the last test that was made; a visit that could not test does not count
 * @returns `YYYY-MM-DD` (UTC), or undefined where the register gives no interval or no date to count from
 */
export function dueOn(
  electrode: Pick<Electrode, 'retestMonths' | 'installedOn'>,
  lastTestedAt: string | undefined,
): string | undefined {
  const from = lastTestedAt ?? electrode.installedOn
  const months = electrode.retestMonths
  if (from === undefined || months === undefined || !(months > 0)) return undefined
  const start = new Date(from)
  if (Number.isNaN(start.getTime())) return undefined
  const year = start.getUTCFullYear()
  const month = start.getUTCMonth() + Math.round(months)
  // The 31st plus one month is the last day of the next, not the first of the one after.
  const lastDay = new Date(Date.UTC(year, month + 1, 0)).getUTCDate()
  const due = new Date(Date.UTC(year, month, Math.min(start.getUTCDate(), lastDay)))
  return due.toISOString().slice(0, 10)
}
