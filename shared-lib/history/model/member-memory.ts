import * as z from 'zod'
import { FINDING_CODES } from '../../survey/finding.ts'
import type { Electrode } from '../../survey/register.ts'
import { type CompactTest, compactTest, restoreTest } from '../compact-test.ts'
import { formulaSpeaks, type Member, type Remembered } from './member.ts'
import { lnGeometry, sightingOf } from './sighting.ts'

/** A member as plain JSON: each remembered test in its compact form with what was made of it. */
export type MemberMemory = z.infer<typeof memberMemory>

const loading = z.object({
  x1: z.number(),
  x2: z.number(),
  v11: z.number(),
  v12: z.number(),
  v22: z.number(),
})
const told = z.object({ code: z.enum(FINDING_CODES), evidence: z.record(z.string(), z.unknown()) })

export const memberMemory = z.object({
  electrodeId: z.string(),
  key: z.string(),
  /** Compact test, display step, G, Q, extra variance, doubt, expected mean and sd. */
  tests: z.array(
    z.object({
      test: z.array(z.unknown()),
      stepOhm: z.number(),
      g: z.number(),
      q: z.number(),
      peers: z.number(),
      extraVar: z.number(),
      doubt: z.number(),
      expected: z.object({ mean: z.number(), sd: z.number() }).nullable(),
    }),
  ),
  start: z.number().int(),
  priorMean: z.number().nullable(),
  priorVar: z.number(),
  loading,
  shape: z.object({ mean: z.number(), variance: z.number() }),
  pending: z
    .object({ index: z.number().int(), pStep: z.number(), up: z.boolean(), told: told.nullable() })
    .nullable(),
  corrosionTold: z.boolean(),
  corrosionConfirmed: z.boolean(),
  level: z.number().nullable(),
})

export function saveMember(m: Member): MemberMemory {
  return {
    electrodeId: m.electrode.electrodeId,
    key: m.key,
    tests: m.tests.map(({ sighting, ...made }) => ({
      test: compactTest(sighting.test),
      stepOhm: sighting.stepOhm,
      ...made,
    })),
    start: m.start,
    priorMean: m.priorMean,
    priorVar: m.priorVar,
    loading: m.loading,
    shape: m.shape,
    pending: m.pending,
    corrosionTold: m.corrosionTold,
    corrosionConfirmed: m.corrosionConfirmed,
    level: m.level,
  }
}

/** Null when a remembered test cannot be read any more: then the site is judged from its first test. */
export function restoreMember(saved: MemberMemory, electrode: Electrode): Member | null {
  const tests: Remembered[] = []
  for (const { test, stepOhm, ...made } of saved.tests) {
    const restored = restoreTest(test as CompactTest, electrode.electrodeId, electrode.siteId)
    const sighting = sightingOf(restored, stepOhm)
    if (!sighting) return null
    tests.push({ sighting, ...made })
  }
  const { electrodeId: _, ...rest } = saved
  return { ...rest, electrode, lnG: formulaSpeaks(saved.key) ? lnGeometry(electrode) : null, tests }
}
