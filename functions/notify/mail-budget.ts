const DAY_MS = 86_400_000

/** The mails of the last 24 hours, oldest first. */
const ofToday = (sentAtMs: readonly number[], nowMs: number): number[] =>
  sentAtMs.filter((at) => at > nowMs - DAY_MS).sort((a, b) => a - b)

/**
 * May one more ordinary mail go to this person now? At most `aDay` in any 24 hours, because who gets too many reads
 * none; what waits goes with the next one. Urgent mail neither asks nor counts. A clock that was set back counts nothing twice:
 * a mail of the future is one of today.
 */
export function mayWrite(sentAtMs: readonly number[], nowMs: number, aDay: number): boolean {
  return ofToday(sentAtMs, nowMs).length < aDay
}

/** What is remembered once a mail has gone: no more than the next question needs. */
export const withMail = (sentAtMs: readonly number[], nowMs: number): number[] => [
  ...ofToday(sentAtMs, nowMs),
  nowMs,
]
