export const DAY_MS = 86_400_000
const YEAR_DAYS = 365.25

/** Years between two days. */
export function yearsBetween(fromDay: number, toDay: number): number {
  return (toDay - fromDay) / YEAR_DAYS
}
