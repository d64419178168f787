import * as z from 'zod'
import type { ElectrodeRecord } from './assessment.ts'
import { memberMemory, restoreMember, saveMember } from './model/member-memory.ts'
import type { SiteState } from './model/site-state.ts'
import { VISIT_DAYS } from './model/visits.ts'

/**
 * A dated checkpoint of a site's replay, plain JSON. Valid only for the judge and parameters that made it, and while nothing up
 * to `throughDay` changes: a back-dated test, a correction or a decision about an older test needs a replay from the start.
 */
export interface SiteMemory {
  /** Judge and parameters that made it; another one never resumes from it. */
  madeBy: string
  /** Tests later than this day (days since 1970) can be judged from here. */
  throughDay: number
  state: z.infer<typeof stateMemory>
}

const stateMemory = z.object({
  members: z.array(memberMemory),
  season: z.object({ beta: z.array(z.number()), cov: z.array(z.number()) }),
  noise: z.object({ ratio: z.number(), sum: z.number(), count: z.number() }),
  visits: z.array(
    z.object({
      day: z.number(),
      g: z.number(),
      variance: z.number(),
      words: z.array(
        z.object({ electrodeId: z.string(), day: z.number(), r: z.number(), variance: z.number() }),
      ),
    }),
  ),
  driftToldLn: z.number(),
  lastVisitDay: z.number().nullable(),
})

const siteMemory = z.object({ madeBy: z.string(), throughDay: z.number(), state: stateMemory })

/** Null before the first visit: there is nothing to save. */
export function saveMemory(state: SiteState, madeBy: string): SiteMemory | null {
  if (state.lastVisitDay === null) return null
  const { season } = state
  return {
    madeBy,
    throughDay: Math.floor(state.lastVisitDay) + VISIT_DAYS,
    state: {
      ...state,
      members: state.members.map(saveMember),
      season: { beta: [...season.beta], cov: [...season.cov] },
    },
  }
}

/**
 * The state to give to `replaySite`, exactly as it was; null when the checkpoint is not of this making, cannot be read, or names
 * an electrode that is not there any more.
 */
export function restoreMemory(
  saved: unknown,
  madeBy: string,
  electrodes: readonly ElectrodeRecord[],
): SiteState | null {
  const read = siteMemory.safeParse(saved)
  if (!read.success || read.data.madeBy !== madeBy) return null
  const { state } = read.data
  const byId = new Map(electrodes.map((r) => [r.electrode.electrodeId, r.electrode]))
  const members = state.members.map((m) => {
    const electrode = byId.get(m.electrodeId)
    return electrode ? restoreMember(m, electrode) : null
  })
  if (members.some((m) => m === null)) return null
  const { beta, cov } = state.season
  return {
    ...state,
    members: members.filter((m) => m !== null),
    season: { beta: Float64Array.from(beta), cov: Float64Array.from(cov) },
  }
}
