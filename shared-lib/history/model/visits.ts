import type { Member } from './member.ts'
import type { Sighting } from './sighting.ts'

/** One test with the member it belongs to and what the record says about it. */
export interface Entry {
  member: Member
  sighting: Sighting
  work: { what: string; doneOn: string | null } | null
  /** Corrected, set aside or invalid: judged, and never learnt from. */
  excluded: boolean
  /** The ground was frozen: judged against others that were, and never learnt from. */
  frozen: boolean
  /** What somebody has decided about it. */
  ruling: 'stands' | 'corrosion' | null
}

/** A visit lasts at most this many days from its first test: what comes up to seven days later is judged together. */
export const VISIT_DAYS = 7

/**
 * Groups a site's tests (in order of test date) into visits, and a visit into rounds in which every electrode has one test:
 * a second test of the same electrode is judged against the first.
 */
export function visitsOf(entries: readonly Entry[]): Entry[][][] {
  const visits: Entry[][][] = []
  let firstDay = Number.NEGATIVE_INFINITY
  for (const entry of entries) {
    if (Math.floor(entry.sighting.day) > firstDay + VISIT_DAYS) {
      visits.push([])
      firstDay = Math.floor(entry.sighting.day)
    }
    const rounds = visits.at(-1)!
    const free = rounds.find((round) => round.every((e) => e.member !== entry.member))
    // Rounds fill in order, so the first round without this member is the right one.
    if (free) free.push(entry)
    else rounds.push([entry])
  }
  return visits
}
