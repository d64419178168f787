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
  const sorted = [...entries].sort((a, b) => from(a) - from(b))
  return sorted.findLast((e) => from(e) <= atMs) ?? sorted[0]
}

/**
 * What was in force when the survey was made: the electrode's words, its limits (one per purpose and connection, the newest not
 * after the test) and the instrument's calibration (the newest not after the test; none when all are later).
 */
export function contextInForce(survey: Survey, books: Books): EvaluationContext | null {
  const atMs = Date.parse(survey.testedAt)
  const electrode = newestNotAfter(books.versions, (v) => sinceMs(v.from), atMs)?.electrode
  if (!electrode) return null
  const byPurpose = Map.groupBy(books.limits, (l) => `${l.purpose}\n${l.appliesTo ?? ''}`)
  const limits = [...byPurpose.values()]
    .map((rows) => rows.filter((l) => sinceMs(l.validFrom) <= atMs))
    .flatMap((rows) => newestNotAfter(rows, (l) => sinceMs(l.validFrom), atMs) ?? [])
  const calibration = books.calibrations
    .filter((c) => c.instrumentId === survey.instrumentId && sinceMs(c.calibratedOn) <= atMs)
    .sort((a, b) => sinceMs(a.calibratedOn) - sinceMs(b.calibratedOn))
    .at(-1)
  return {
    electrode,
    limits,
    ...(calibration ? { calibration } : {}),
    ...(books.siteSoilOhmM === undefined ? {} : { siteSoilOhmM: books.siteSoilOhmM }),
    ...(books.siteSoil ? { siteSoil: books.siteSoil } : {}),
  }
}
