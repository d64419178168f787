import type { MailChoice, Untold } from '../../shared-lib/ledger/kept/telling.ts'

const HOUR_MS = 3_600_000
const DAY_MS = 24 * HOUR_MS

/** The last time at or before `nowMs` at which the daily mail was due. */
function lastDigestMs(nowMs: number, hourUtc: number): number {
  const shiftMs = hourUtc * HOUR_MS
  return Math.floor((nowMs - shiftMs) / DAY_MS) * DAY_MS + shiftMs
}

/**
 * Which of the ordinary news that wait may be told now, by what this person chose (null: nothing, so all of it). Once the hour of the
 * daily mail has passed over anything, all goes. What nobody answered does not wait for that hour. Nothing has to be remembered: a
 * mail that could not be sent at its hour is due until it is.
 */
export function mayBeTold(waiting: readonly Untold[], choice: MailChoice | null, nowMs: number): Untold[] {
  if (choice === null || choice.rest === 'as-it-comes') return [...waiting]
  const hourMs = lastDigestMs(nowMs, choice.digestHourUtc)
  const atOnce = (u: Untold) =>
    u.unanswered !== undefined || (u.siteId !== undefined && choice.atOnceSites.includes(u.siteId))
  const digestIsDue = waiting.some((u) => !atOnce(u) && u.queuedAtMs < hourMs)
  return digestIsDue ? [...waiting] : waiting.filter(atOnce)
}
