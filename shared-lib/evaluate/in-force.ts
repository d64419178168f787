import type { Calibration, Electrode, Limit } from '../survey/register.ts'
import type { Survey } from '../survey/survey.ts'
import type { EvaluationContext, SiteSoil } from './evaluation.ts'

/** The dated books to choose from. Order does not matter. */
export interface Books {
  versions: { from: string; electrode: Electrode }[]
  limits: Limit[]
  calibrations: Calibration[]
  siteSoilOhmM?: number
  siteSoil?: SiteSoil
}

/** Milliseconds of an ISO instant or day (a day counts from its start, UTC); −Infinity for '' or absent. */
function sinceMs(iso: string | undefined): number {
  if (!iso) return Number.NEGATIVE_INFINITY
  const ms = Date.parse(iso)
  return Number.isNaN(ms) ? Number.NEGATIVE_INFINITY : ms
}

/** The newest entry not after `atMs`; when all are later, the earliest (its words are the best known). */
function newestNotAfter<T>(entries: readonly T[], from: (t: T) => number, atMs: number): T | undefined {
  let newest: T | undefined
  let newestMs = 0
  let earliest: T | undefined
  let earliestMs = 0
  for (const entry of entries) {
    const fromMs = from(entry)
    if (fromMs <= atMs && (newest === undefined || fromMs >= newestMs)) {
      newest = entry
      newestMs = fromMs
    }
    if (earliest === undefined || fromMs < earliestMs) {
      earliest = entry
      earliestMs = fromMs
    }
  }
  return newest ?? earliest
}

/** A test may be dated this much after it was handed in: a date without a time, a zone or a clock may be off by that. */
const AHEAD_MS = 86_400_000

/**
 * What was in force when the survey was made: the electrode's words, its limits (one per purpose and connection, the newest not
 * after the test) and the instrument's calibration (the newest not after the test; none when all are later). With `handedInMs`, a
 * survey dated ahead of that is told to be.
 */
export function contextInForce(
  survey: Pick<Survey, 'testedAt' | 'instrumentId'>,
  books: Books,
  handedInMs?: number,
): EvaluationContext | null {
  const atMs = Date.parse(survey.testedAt)
  const electrode = newestNotAfter(books.versions, (v) => sinceMs(v.from), atMs)?.electrode
  if (!electrode) return null
  const context: EvaluationContext = { electrode, limits: limitsInForce(books.limits, atMs) }
  const calibration = newestNotAfter(
    books.calibrations.filter(
      (c) => c.instrumentId === survey.instrumentId && sinceMs(c.calibratedOn) <= atMs,
    ),
    (c) => sinceMs(c.calibratedOn),
    atMs,
  )
  if (calibration) context.calibration = calibration
  if (books.siteSoilOhmM !== undefined) context.siteSoilOhmM = books.siteSoilOhmM
  if (books.siteSoil) context.siteSoil = books.siteSoil
  if (handedInMs !== undefined && atMs > handedInMs + AHEAD_MS)
    context.handedInAt = new Date(handedInMs).toISOString()
  return context
}

function limitsInForce(limits: readonly Limit[], atMs: number): Limit[] {
  if (limits.length === 0) return []
  const byPurpose = Map.groupBy(limits, (l) => `${l.purpose}\n${l.appliesTo ?? ''}`)
  return [...byPurpose.values()]
    .map((rows) => rows.filter((l) => sinceMs(l.validFrom) <= atMs))
    .flatMap((rows) => newestNotAfter(rows, (l) => sinceMs(l.validFrom), atMs) ?? [])
}
