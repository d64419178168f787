import * as z from 'zod/mini'

/**
 * What a finding against prior tests carries in `evidence`, for the page "why", the mail and an auditor. Every part is optional:
 * a finding carries what it rests on, and findings stored by an older version lack the newer parts. Plain JSON; ohm; ISO days.
 *
 * - every comparison: `resistanceOhm`, `expectedOhm`, `expectedRangeOhm`, `ratio`, `earlier`, `neighbours`, `sharedShiftPercent`,
 *   `alternatives`, `points`, `trend`, `parametersVersion`
 * - `limit-forecast`: `line` (the fitted line up to where it crosses), `crossesOn`, `crossesBetween`, `limitOhm`, `trend`, `points`
 * - `site-drift`: `site`
 * - `instrument-bias`: `instrument`
 */

const ohm = z.number().check(z.positive())
const day = z.string().check(z.regex(/^\d{4}-\d{2}-\d{2}$/))
const chance = z.number().check(z.minimum(0), z.maximum(1))

const earlierTest = z.object({ surveyRef: z.string(), testedAt: day, resistanceOhm: ohm })

/** Another explanation of the same numbers, in words, with its chance where one is claimed. */
const alternative = z.object({ explanation: z.string(), probability: z.nullable(chance) })

/** One test on the plot. `low`/`high`/`expected` are what was expected *before* it was read (95 %), absent for a first test. */
const point = z.object({
  surveyRef: z.string(),
  testedAt: day,
  resistanceOhm: ohm,
  expectedOhm: z.optional(ohm),
  lowOhm: z.optional(ohm),
  highOhm: z.optional(ohm),
  /** False where the test was set aside from the baseline (a slip, a repeated sheet, a decision, a returned step). */
  used: z.boolean(),
})

/** The statistics auditors know, of ln R of the present baseline with this test: Mann-Kendall and Sen's slope with its 95 % interval. */
const trend = z.object({
  n: z.int(),
  kendallS: z.number(),
  /** Two-sided, ties and continuity corrected. */
  pValue: chance,
  slopePercentPerYear: z.number(),
  slopeLowPercentPerYear: z.nullable(z.number()),
  slopeHighPercentPerYear: z.nullable(z.number()),
})

/** A point of a fitted line with its 95 % band. */
const linePoint = z.object({ on: day, ohm, lowOhm: ohm, highOhm: ohm })

/** The site's own level against its season and past. */
const siteLevel = z.object({
  siteId: z.string(),
  /** How many electrodes were looked at, and which of them have risen with it. */
  electrodes: z.int(),
  rising: z.array(z.string()),
  risePercent: z.number(),
  /** From when on. */
  since: day,
  /** One a visit: how far the site stood above its season, in %, and the share of that the drift explains. */
  visits: z.array(z.object({ on: day, offSeasonPercent: z.number(), driftPercent: z.number() })),
})

/** What one instrument saw at each visit, beyond what season and the other instruments led to expect. */
const instrumentSigns = z.object({
  instrumentId: z.string(),
  biasPercent: z.number(),
  calibratedOn: z.nullable(day),
  visits: z.array(
    z.object({
      on: day,
      siteId: z.nullable(z.string()),
      residualPercent: z.number(),
      doubtPercent: z.number(),
      /** A measured known resistor rather than a site. */
      check: z.boolean(),
    }),
  ),
})

const parts = {
  resistanceOhm: z.nullable(ohm),
  expectedOhm: ohm,
  expectedRangeOhm: z.tuple([ohm, ohm]),
  ratio: z.number().check(z.positive()),
  earlier: z.array(earlierTest),
  neighbours: z.int(),
  sharedShiftPercent: z.nullable(z.number()),
  alternatives: z.array(alternative),
  points: z.array(point),
  trend: z.nullable(trend),
  /** The version of the parameters that made the finding. */
  parametersVersion: z.string(),
  /** The earlier survey whose step this one confirms. */
  confirms: z.string(),
  /** `limit-forecast`. */
  limitOhm: ohm,
  line: z.array(linePoint),
  crossesOn: day,
  /** Earliest and latest day of the 90 % interval; the latest is null when the trend may never get there. */
  crossesBetween: z.tuple([day, z.nullable(day)]),
  site: siteLevel,
  instrument: instrumentSigns,
}

type Parts = typeof parts
export type FindingEvidence = { [K in keyof Parts]?: z.infer<Parts[K]> }
export type EvidencePoint = z.infer<typeof point>
export type EvidenceTrend = z.infer<typeof trend>
export type EvidenceLinePoint = z.infer<typeof linePoint>

/** The parts of a stored finding's evidence that are there and well formed; anything else is left out, never thrown. */
export function readEvidence(stored: Record<string, unknown>): FindingEvidence {
  const read: Record<string, unknown> = {}
  for (const [key, schema] of Object.entries(parts)) {
    if (stored[key] === undefined) continue
    const parsed = schema.safeParse(stored[key])
    if (parsed.success) read[key] = parsed.data
  }
  return read as FindingEvidence
}
