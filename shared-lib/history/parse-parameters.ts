import * as z from 'zod'
import { FINDING_CODES } from '../survey/finding.ts'
import type { Parameters } from './assessment.ts'
import { DEFAULT_BELIEFS } from './model/beliefs.ts'

/** Variances, spreads and rates are positive and no larger than anything that can be meant; means may have either sign. */
const SIGNED: ReadonlySet<string> = new Set([
  'seasonCos',
  'seasonSin',
  'shapeOffset',
  'droughtLn',
  'loadingLagCorrelation',
])
const beliefSchemas = Object.fromEntries(
  Object.keys(DEFAULT_BELIEFS).map((key) => [
    key,
    (SIGNED.has(key)
      ? z.number().min(-3).max(3)
      : z
          .number()
          .positive()
          .max(key === 'weatherDays' ? 1000 : 20)
    ).optional(),
  ]),
)

const count = z.number().int().nonnegative()

const basis = z.object({
  sites: z.number().int().nonnegative(),
  electrodes: z.number().int().nonnegative(),
  surveys: z.number().int().nonnegative(),
  findingsPer100: z.number().nonnegative(),
  numbers: z.record(z.string(), z.number()),
  decided: z
    .partialRecord(z.enum(FINDING_CODES), z.object({ confirmed: count, dismissed: count }))
    .optional(),
})

const parametersSchema = z.object({
  version: z.string().min(1).max(80),
  noiseLn: z.number().positive().max(1),
  seasonLn: z.number().nonnegative().max(3),
  beliefs: z.strictObject(beliefSchemas).optional(),
  thresholds: z.partialRecord(z.enum(FINDING_CODES), z.number().min(0.1).max(0.99)).optional(),
  basis: basis.optional(),
})

/** Reads stored or handed-in parameters; what is wrong is said by name. */
export function parseParameters(
  value: unknown,
): { ok: true; parameters: Parameters } | { ok: false; reason: string } {
  const read = parametersSchema.safeParse(value)
  if (read.success) return { ok: true, parameters: read.data as Parameters }
  const reason = read.error.issues.map((i) => `${i.path.join('.') || 'it'}: ${i.message}`).join('; ')
  return { ok: false, reason }
}
